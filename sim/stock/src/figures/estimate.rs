//! Mean, standard deviation and quantiles of a set of values, each with an interval.
//!
//! Mean: Student's interval. Quantiles: R. J. Hyndman and Y. Fan, "Sample Quantiles in Statistical
//! Packages", The American Statistician 50 (1996) 361-365, definition 8; their intervals from order
//! statistics: H. A. David and H. N. Nagaraja, "Order Statistics", 3rd edition (Wiley, 2003), 7.1. Both
//! recalled; what they give is held against NIST's certified values and against scipy by tests.

use statrs::distribution::{Binomial, ContinuousCDF, DiscreteCDF, StudentsT};

/// How quantiles are defined, in words for a report.
pub const DEFINITION: &str = "Quantiles are median-unbiased (Hyndman and Fan 1996, definition 8); their intervals \
    are pairs of order statistics with exact binomial coverage of at least 95 %.";
/// How surely an interval holds what it is about.
pub const CONFIDENCE: f64 = 0.95;
/// The quantiles of a [`Estimate`].
pub const PROBABILITIES: [f64; 5] = [0.5, 0.8, 0.9, 0.95, 0.99];

/// What a set of values says, in their unit. A figure that the set is too small for is no number, and an
/// interval is left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// How many values.
    pub n: usize,
    /// Mean; no number without values.
    pub mean: f64,
    /// Lower end of the mean's 95 % interval by Student's law; from two values.
    pub mean_low: Option<f64>,
    /// Upper end.
    pub mean_high: Option<f64>,
    /// Standard deviation with n - 1; no number below two values.
    pub sd: f64,
    /// Least value; no number without values.
    pub least: f64,
    /// Greatest value; no number without values.
    pub most: f64,
    /// The quantiles, one for each of [`PROBABILITIES`].
    pub quantiles: Vec<Quantile>,
}

/// A value that a part of all cases stays below.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantile {
    /// The part, 0 to 1.
    pub p: f64,
    /// The value by [`DEFINITION`]; no number without values.
    pub value: f64,
    /// Lower end of its interval; none where there are too few values for one.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
    /// How surely the interval holds the quantile, 0 to 1: exact for values that never tie. Where there is no
    /// interval, the most that these values reach.
    pub covers: f64,
}

/// Two places in a rising order, counted from 1, and how surely the quantile lies between their values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ranks {
    /// Lower place.
    pub low: usize,
    /// Upper place.
    pub high: usize,
    /// Binomial coverage, 0 to 1.
    pub covers: f64,
}

/// A sum that keeps what each addition rounds off (A. Neumaier, 1974; recalled).
fn sum(values: impl Iterator<Item = f64>) -> f64 {
    let (mut sum, mut lost) = (0.0f64, 0.0);
    for x in values {
        let next = sum + x;
        lost += if sum.abs() >= x.abs() {
            (sum - next) + x
        } else {
            (x - next) + sum
        };
        sum = next;
    }
    if lost.is_finite() { sum + lost } else { sum }
}

/// Mean by two passes; no number without values.
pub(super) fn mean(values: &[f64]) -> f64 {
    let n = values.len() as f64;
    let first = sum(values.iter().copied()) / n;
    first + sum(values.iter().map(|x| x - first)) / n
}

/// Sum of squares about the mean, less what the mean's own rounding adds.
fn squares(values: &[f64], mean: f64) -> f64 {
    let off = sum(values.iter().map(|x| x - mean));
    sum(values.iter().map(|x| (x - mean) * (x - mean))) - off * off / values.len() as f64
}

/// Correlation of each value with the next, -1 to 1, by NIST's definition (products about the mean over the
/// sum of squares); no number where all values are one. How far replicates are from being independent.
pub fn autocorrelation_1(values: &[f64]) -> f64 {
    let mean = mean(values);
    sum(values.windows(2).map(|w| (w[0] - mean) * (w[1] - mean))) / squares(values, mean)
}

/// Place of a quantile in a rising order of `n` values, counted from 1 and between whole places.
fn place(n: usize, p: f64) -> f64 {
    ((n as f64 + 1.0 / 3.0) * p + 1.0 / 3.0)
        .max(1.0)
        .min(n as f64)
}

/// The quantile `p` of values in any order, by [`DEFINITION`], in their unit; no number without values.
pub fn quantile_of(mut values: Vec<f64>, p: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    quantile(&values, p)
}

/// The quantile `p` of values in rising order, by [`DEFINITION`], in their unit; no number without values.
pub fn quantile(rising: &[f64], p: f64) -> f64 {
    if rising.is_empty() || !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    let place = place(rising.len(), p);
    let below = place.floor();
    let (i, part) = (below as usize - 1, place - below);
    let low = rising[i];
    if part == 0.0 {
        return low;
    }
    low + part * (rising[i + 1] - low)
}

/// The narrowest pair of places, as far below the quantile's own place as above it (to the nearest half),
/// whose coverage is at least [`CONFIDENCE`].
///
/// # Errors
/// Where no pair reaches that, the widest and what it covers; nothing where there is no pair at all.
pub fn ranks(n: usize, p: f64) -> Result<Ranks, Option<Ranks>> {
    let Some(law) = u64::try_from(n)
        .ok()
        .filter(|_| n >= 2)
        .and_then(|n| Binomial::new(p, n).ok())
    else {
        return Err(None);
    };
    // Twice the middle of all pairs; a tie goes up, whatever the last bit says.
    let twice = (2.0 * place(n, p) + 0.5 + 1e-6).floor() as usize;
    let pair = |width: usize| {
        let (low, high) = ((twice - width) / 2, (twice + width) / 2);
        let covers = law.cdf(high as u64 - 1) - law.cdf(low as u64 - 1);
        Ranks { low, high, covers }
    };
    // Widths go in steps of two from the first that keeps both places whole and apart.
    let least = if twice.is_multiple_of(2) { 2 } else { 1 };
    let most = (twice - 2).min(2 * n - twice);
    if most < least {
        return Err(None);
    }
    let (mut short, mut long) = (0, (most - least) / 2);
    let widest = pair(least + 2 * long);
    if widest.covers < CONFIDENCE {
        return Err(Some(widest));
    }
    while short < long {
        let middle = short + (long - short) / 2;
        if pair(least + 2 * middle).covers >= CONFIDENCE {
            long = middle;
        } else {
            short = middle + 1;
        }
    }
    Ok(pair(least + 2 * long))
}

/// A quantile of values in rising order, with its interval.
pub fn quantile_between(rising: &[f64], p: f64) -> Quantile {
    let value = quantile(rising, p);
    let ends = |r: Ranks| {
        (
            rising.get(r.low - 1).copied(),
            rising.get(r.high - 1).copied(),
            r.covers,
        )
    };
    let (low, high, covers) = match ranks(rising.len(), p) {
        Ok(ranks) => ends(ranks),
        Err(widest) => (None, None, widest.map_or(0.0, |r| r.covers)),
    };
    Quantile {
        p,
        value,
        low,
        high,
        covers,
    }
}

/// What a set of values says, in their unit; any order, any number of them.
pub fn estimate(values: &[f64]) -> Estimate {
    let n = values.len();
    let mut rising = values.to_vec();
    rising.sort_by(f64::total_cmp);
    let mean = mean(values);
    let sd = if n < 2 {
        f64::NAN
    } else {
        (squares(values, mean).max(0.0) / (n as f64 - 1.0)).sqrt()
    };
    let student = StudentsT::new(0.0, 1.0, n as f64 - 1.0).ok();
    let half = student.map(|law| law.inverse_cdf(0.5 + CONFIDENCE / 2.0) * sd / (n as f64).sqrt());
    Estimate {
        n,
        mean,
        mean_low: half.map(|h| mean - h),
        mean_high: half.map(|h| mean + h),
        sd,
        least: rising.first().copied().unwrap_or(f64::NAN),
        most: rising.last().copied().unwrap_or(f64::NAN),
        quantiles: PROBABILITIES
            .iter()
            .map(|p| quantile_between(&rising, *p))
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_one_and_two_values_do_not_fail() {
        let none = estimate(&[]);
        assert!(none.n == 0 && none.mean.is_nan() && none.sd.is_nan() && none.mean_low.is_none());
        assert!(
            none.quantiles
                .iter()
                .all(|q| q.value.is_nan() && q.low.is_none())
        );
        let one = estimate(&[7.0]);
        assert!(one.mean == 7.0 && one.sd.is_nan() && one.mean_high.is_none());
        assert!(
            one.quantiles
                .iter()
                .all(|q| q.value == 7.0 && q.low.is_none())
        );
        let two = estimate(&[3.0, 1.0]);
        assert_eq!(
            (two.mean, two.least, two.most, two.quantiles[0].value),
            (2.0, 1.0, 3.0, 2.0)
        );
        assert!(
            two.mean_low.is_some_and(|l| l < 1.0) && (two.quantiles[0].covers - 0.5).abs() < 1e-12
        );
        let odd = estimate(&[1.0, f64::NAN, f64::INFINITY]);
        assert!(odd.mean.is_nan() && odd.n == 3);
    }

    #[test]
    fn equal_values_have_no_spread() {
        let same = estimate(&[0.1; 1000]);
        assert_eq!(
            (same.mean, same.sd, same.least, same.most),
            (0.1, 0.0, 0.1, 0.1)
        );
        assert!(same.quantiles.iter().all(|q| q.value == 0.1));
    }

    /// The 95 % interval of a median from order statistics: places 2 and 9 of 10 (97.9 %), 6 and 15 of 20
    /// (95.9 %), 40 and 61 of 100 (96.5 %): the usual tables, for one in David and Nagaraja 7.1; recalled.
    #[test]
    fn the_places_of_a_median_are_those_of_the_tables() {
        for (n, low, high, covers) in [(10, 2, 9, 0.979), (20, 6, 15, 0.959), (100, 40, 61, 0.965)]
        {
            let found = ranks(n, 0.5).expect("enough");
            assert_eq!((found.low, found.high), (low, high));
            assert!((found.covers - covers).abs() < 5e-4, "{found:?}");
        }
    }

    #[test]
    fn a_high_quantile_of_few_values_has_no_interval() {
        assert!(matches!(ranks(100, 0.99), Err(Some(r)) if r.covers < CONFIDENCE));
        assert!(matches!(ranks(5, 0.99), Err(None)));
        let found = ranks(10_000, 0.99).expect("enough");
        assert!(
            found.low > 9875 && found.high < 9925 && found.covers < 0.96,
            "{found:?}"
        );
        for n in 0..400 {
            for p in PROBABILITIES {
                if let Ok(r) = ranks(n, p) {
                    assert!(r.low >= 1 && r.low < r.high && r.high <= n && r.covers >= CONFIDENCE);
                }
            }
        }
    }
}
