//! Which input goes with which answer: Spearman's rank correlation, with an interval.
//!
//! C. Spearman, American Journal of Psychology 15 (1904) 72-101. The interval is Fisher's z with the variance
//! (1 + rho^2/2)/(n - 3) of D. G. Bonett and T. A. Wright, "Sample size requirements for estimating Pearson,
//! Kendall and Spearman correlations", Psychometrika 65 (2000) 23-28. Both recalled; the correlation is held
//! against scipy by a test, the interval has no outside referee.

use super::estimate::mean;

/// The normal law's 97.5 % point.
const Z: f64 = 1.959_963_984_540_054;

/// A rank correlation and between what it lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RankCorrelation {
    /// Spearman's coefficient, -1 to 1.
    pub rho: f64,
    /// Lower end of the 95 % interval; at a coefficient of -1 or 1 the formula gives no width.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Ranks from 1; equal values share the middle of theirs.
fn mid_ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    let mut before = 0;
    for tied in order.chunk_by(|a, b| values[*a] == values[*b]) {
        let middle = before as f64 + (tied.len() as f64 + 1.0) / 2.0;
        for i in tied {
            ranks[*i] = middle;
        }
        before += tied.len();
    }
    ranks
}

/// Values that lie closer together than what made them can tell apart: to one part in 1e7 of the largest, which is the
/// plant's own error in a step.
pub fn told_apart(values: &[f64]) -> Vec<f64> {
    let most = values.iter().fold(0.0, |most: f64, v| most.max(v.abs()));
    let step = most * 1e-7;
    match step > 0.0 && step.is_finite() {
        true => values.iter().map(|v| (v / step).round()).collect(),
        false => values.to_vec(),
    }
}

/// Rank correlation of two lists, value by value; none where a side is constant, a value is no number, the
/// lists are of unequal length or shorter than four.
pub fn rank_correlation(x: &[f64], y: &[f64]) -> Option<RankCorrelation> {
    let n = x.len();
    if n < 4 || y.len() != n || x.iter().chain(y).any(|v| v.is_nan()) {
        return None;
    }
    let (a, b) = (mid_ranks(x), mid_ranks(y));
    let (mean_a, mean_b) = (mean(&a), mean(&b));
    let products = |p: &[f64], mean_p: f64, q: &[f64], mean_q: f64| -> f64 {
        p.iter()
            .zip(q)
            .map(|(p, q)| (p - mean_p) * (q - mean_q))
            .sum()
    };
    let (aa, bb) = (
        products(&a, mean_a, &a, mean_a),
        products(&b, mean_b, &b, mean_b),
    );
    if aa <= 0.0 || bb <= 0.0 {
        return None;
    }
    let rho = (products(&a, mean_a, &b, mean_b) / (aa.sqrt() * bb.sqrt())).clamp(-1.0, 1.0);
    let z = 0.5 * (libm::log1p(rho) - libm::log1p(-rho));
    let half = Z * ((1.0 + rho * rho / 2.0) / (n as f64 - 3.0)).sqrt();
    Some(RankCorrelation {
        rho,
        low: libm::tanh(z - half),
        high: libm::tanh(z + half),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What differs by rounding alone goes with nothing.
    #[test]
    fn noise_is_no_demand() {
        let drawn = [0.8, 1.3, 0.9, 1.1, 1.0];
        let noise = [
            441.0,
            441.0 + 3e-9,
            441.0 + 1e-9,
            441.0 - 2e-9,
            441.0 + 2e-9,
        ];
        assert!(rank_correlation(&drawn, &noise).is_some());
        assert_eq!(rank_correlation(&drawn, &told_apart(&noise)), None);
        let grows = drawn.map(|d| 441.0 + 1e-3 * d);
        let told = rank_correlation(&drawn, &told_apart(&grows)).expect("a rank");
        assert!((told.rho - 1.0).abs() < 1e-12);
        assert_eq!(told_apart(&[0.0, 0.0]), [0.0, 0.0]);
    }

    #[test]
    fn what_rises_together_has_one_and_what_is_constant_has_none() {
        let x: Vec<f64> = (0..50).map(f64::from).collect();
        let cubes: Vec<f64> = x.iter().map(|v| v * v * v).collect();
        let falling: Vec<f64> = x.iter().map(|v| -v).collect();
        assert_eq!(rank_correlation(&x, &cubes).map(|r| r.rho), Some(1.0));
        assert_eq!(rank_correlation(&x, &falling).map(|r| r.rho), Some(-1.0));
        assert_eq!(rank_correlation(&x, &[2.0; 50]), None);
        assert_eq!(rank_correlation(&x[..3], &cubes[..3]), None);
        assert_eq!(rank_correlation(&x, &cubes[..9]), None);
        assert_eq!(rank_correlation(&[1.0, 2.0, f64::NAN, 4.0], &x[..4]), None);
    }

    #[test]
    fn equal_values_share_their_ranks() {
        assert_eq!(
            mid_ranks(&[5.0, 1.0, 5.0, 0.0, 5.0, -0.0]),
            [5.0, 3.0, 5.0, 1.5, 5.0, 1.5]
        );
    }
}
