//! A chance counted over many simulated jobs, with its exact interval.
//!
//! C. J. Clopper and E. S. Pearson, "The use of confidence or fiducial limits illustrated in the case of the
//! binomial", Biometrika 26 (1934) 404-413, in its form by the beta law; recalled, and held against scipy by
//! a test.

use super::CONFIDENCE;
use statrs::distribution::{Beta, ContinuousCDF};

/// How often something came, and between what its chance lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chance {
    /// How often it came.
    pub hits: u64,
    /// In how many cases.
    pub of: u64,
    /// The part of the cases, 0 to 1; no number without cases.
    pub p: f64,
    /// Lower end of the 95 % interval, 0 to 1.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Chance {
    /// The chance of what came in some of a number of cases; more than all counts as all.
    pub fn of(hits: u64, of: u64) -> Chance {
        let hits = hits.min(of);
        let (came, missed) = (hits as f64, (of - hits) as f64);
        let tail = (1.0 - CONFIDENCE) / 2.0;
        let reach = |a: f64, b: f64, u: f64| Beta::new(a, b).ok().map(|law| law.inverse_cdf(u));
        Chance {
            hits,
            of,
            p: came / of as f64,
            low: reach(came, missed + 1.0, tail).unwrap_or(0.0),
            high: reach(came + 1.0, missed, 1.0 - tail).unwrap_or(1.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// None in n cases: the chance is below 1 - 0.025^(1/n), a closed form.
    #[test]
    fn never_and_always_have_closed_forms() {
        for n in [1, 3, 10, 1000, 100_000] {
            let bound = -libm::expm1(libm::log(0.025) / n as f64);
            let (never, always) = (Chance::of(0, n), Chance::of(n, n));
            assert!(
                (never.high - bound).abs() < 1e-10,
                "{n}: {} {bound}",
                never.high
            );
            assert!(
                (always.low - (1.0 - bound)).abs() < 1e-10,
                "{n}: {}",
                always.low
            );
            assert_eq!((never.low, always.high), (0.0, 1.0));
        }
        let nothing = Chance::of(0, 0);
        assert!(nothing.p.is_nan() && nothing.low == 0.0 && nothing.high == 1.0);
        assert_eq!(Chance::of(9, 4), Chance::of(4, 4));
    }

    #[test]
    fn every_count_has_an_interval_about_it() {
        for of in (1..=60).chain([997, 10_000]) {
            let step = (of / 60).max(1);
            for hits in (0..=of).step_by(step as usize) {
                let c = Chance::of(hits, of);
                assert!(
                    c.low <= c.p && c.p <= c.high && c.low >= 0.0 && c.high <= 1.0,
                    "{c:?}"
                );
            }
        }
    }
}
