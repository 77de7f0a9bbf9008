//! Where the distribution functions of the gamma and the beta law reach a share: Newton's steps on a
//! stretched axis, held within a bracket, so that draws far out in a tail keep their digits and none fails
//! to end.
//!
//! The functions themselves are those of `statrs`.

use statrs::distribution::{Beta, Continuous, ContinuousCDF, Gamma};

/// Most steps.
const STEPS: usize = 200;
/// Logarithm of what a number can just hold.
const SMALLEST: f64 = -744.0;

/// The root of a rising function between two places. `short` gives how far it is below what is wanted
/// (negative: above) and its slope.
fn root(mut low: f64, mut high: f64, short: impl Fn(f64) -> (f64, f64)) -> f64 {
    let mut t = 0.5 * (low + high);
    for _ in 0..STEPS {
        let (missing, slope) = short(t);
        if missing > 0.0 {
            low = t;
        } else {
            high = t;
        }
        let newton = t + missing / slope;
        let next = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
        if (next - t).abs() <= 2.0 * f64::EPSILON * t.abs().max(1.0) {
            return next;
        }
        t = next;
    }
    t
}

/// Where the gamma law of a shape with scale 1 reaches `u`; no number where there is no such law.
pub(super) fn gamma(shape: f64, u: f64) -> f64 {
    let Ok(law) = Gamma::new(shape, 1.0) else {
        return f64::NAN;
    };
    // The share at or below x is at most x^shape / gamma(shape + 1).
    let low = (libm::log(u) + libm::lgamma(shape + 1.0)) / shape;
    if low < SMALLEST {
        return 0.0;
    }
    let (mut high, mut step) = (libm::log(shape + 1.0).max(low), 1.0);
    while law.cdf(libm::exp(high)) < u && step < 1e3 {
        high += step;
        step *= 2.0;
    }
    let at = root(low, high, |t| {
        let x = libm::exp(t);
        (u - law.cdf(x), law.pdf(x) * x)
    });
    libm::exp(at)
}

/// Where the beta law of two shapes between 0 and 1 reaches `u`; no number where there is no such law.
pub(super) fn beta(a: f64, b: f64, u: f64) -> f64 {
    let Ok(law) = Beta::new(a, b) else {
        return f64::NAN;
    };
    let share = |t: f64| 1.0 / (1.0 + libm::exp(-t));
    let middle = libm::log(a / b);
    let (mut low, mut high) = (middle - 1.0, middle + 1.0);
    while law.cdf(share(low)) > u && low > SMALLEST {
        low -= high - low;
    }
    while law.cdf(share(high)) < u && high < -SMALLEST {
        high += high - low;
    }
    share(root(low.max(SMALLEST), high, |t| {
        let x = share(t);
        (u - law.cdf(x), law.pdf(x) * x * (1.0 - x))
    }))
}
