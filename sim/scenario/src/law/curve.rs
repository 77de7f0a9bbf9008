//! The curves of the laws of chance: distribution function, its inverse, and the mean.
//!
//! Formulas: Johnson, Kotz and Balakrishnan, "Continuous Univariate Distributions", volumes 1 and 2
//! (Wiley, 1994 and 1995); Abramowitz and Stegun, "Handbook of Mathematical Functions" (1964), chapters 6,
//! 7 and 26; recalled, and held against scipy by a test.

use super::{Law, Spreading, reach};
use statrs::distribution::{Beta, ContinuousCDF, DiscreteCDF, Gamma, Poisson};
use statrs::function::erf::erfc_inv;
use std::f64::consts::SQRT_2;

/// Points of the grid by which the mean of a law held to limits is found.
const GRID: usize = 4096;
/// The least and the greatest number that stands for a uniform one.
const U: (f64, f64) = (1.0 / (1u64 << 54) as f64, 1.0 - f64::EPSILON / 2.0);

/// Shapes of the beta law on 0 to 1 that has a mean and a standard deviation between two ends.
fn shapes(low: f64, high: f64, mean: f64, sd: f64) -> (f64, f64) {
    let sum = (mean - low) * (high - mean) / (sd * sd) - 1.0;
    let share = (mean - low) / (high - low);
    (share * sum, (1.0 - share) * sum)
}

/// Area below `z` of the law of Gauss with mean 0 and standard deviation 1.
pub(super) fn gauss(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

/// Where the area below is `u`.
fn gauss_at(u: f64) -> f64 {
    -SQRT_2 * erfc_inv(2.0 * u)
}

/// The least count whose distribution function reaches `u`.
fn count_at(law: &Poisson, mean: f64, u: f64) -> u64 {
    // Forty standard deviations and sixty counts above the mean there is nothing a double could tell.
    let (mut low, mut high) = (0, (mean + 40.0 * mean.sqrt() + 60.0) as u64);
    while low < high {
        let middle = low + (high - low) / 2;
        if law.cdf(middle) >= u {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    low
}

impl Law {
    /// The share at or below `x`.
    fn up_to(&self, x: f64) -> f64 {
        match *self {
            Law::Uniform { low, high } => ((x - low) / (high - low)).clamp(0.0, 1.0),
            Law::Triangular { low, likely, high } => {
                let width = high - low;
                if x <= low {
                    0.0
                } else if x < likely {
                    (x - low) * (x - low) / (width * (likely - low))
                } else if x < high {
                    1.0 - (high - x) * (high - x) / (width * (high - likely))
                } else {
                    1.0
                }
            }
            Law::Normal { mean, sd } => gauss((x - mean) / sd),
            Law::LogNormal { median, factor } if x > 0.0 => {
                gauss(libm::log(x / median) / libm::log(factor))
            }
            Law::Gamma { mean, sd } if x > 0.0 => {
                let shape = (mean / sd) * (mean / sd);
                Gamma::new(shape, 1.0).map_or(f64::NAN, |law| law.cdf(x * mean / (sd * sd)))
            }
            Law::Beta {
                low,
                high,
                mean,
                sd,
            } => {
                let (a, b) = shapes(low, high, mean, sd);
                let x = ((x - low) / (high - low)).clamp(0.0, 1.0);
                Beta::new(a, b).map_or(f64::NAN, |law| law.cdf(x))
            }
            Law::Weibull { scale, shape } if x > 0.0 => -libm::expm1(-libm::pow(x / scale, shape)),
            Law::Exponential { mean } if x > 0.0 => -libm::expm1(-x / mean),
            Law::LogNormal { .. }
            | Law::Gamma { .. }
            | Law::Weibull { .. }
            | Law::Exponential { .. } => 0.0,
            Law::Poisson { .. } if x < 0.0 => 0.0,
            Law::Poisson { mean } => Poisson::new(mean).map_or(f64::NAN, |law| law.cdf(x as u64)),
            Law::Choice(ref list) => weight(list, |v| v <= x) / weight(list, |_| true),
        }
    }

    /// The share below `x`, `x` itself left out.
    fn below(&self, x: f64) -> f64 {
        match self {
            Law::Poisson { .. } => self.up_to(x.ceil() - 1.0),
            Law::Choice(list) => weight(list, |v| v < x) / weight(list, |_| true),
            _ => self.up_to(x),
        }
    }

    /// Where the share at or below reaches `u`.
    fn where_reaches(&self, u: f64) -> f64 {
        match *self {
            Law::Uniform { low, high } => low + (high - low) * u,
            Law::Triangular { low, likely, high } => {
                let width = high - low;
                if u * width < likely - low {
                    low + (u * width * (likely - low)).sqrt()
                } else {
                    high - ((1.0 - u) * width * (high - likely)).sqrt()
                }
            }
            Law::Normal { mean, sd } => mean + sd * gauss_at(u),
            Law::LogNormal { median, factor } => {
                median * libm::exp(libm::log(factor) * gauss_at(u))
            }
            Law::Gamma { mean, sd } => {
                let shape = (mean / sd) * (mean / sd);
                reach::gamma(shape, u) * sd * sd / mean
            }
            Law::Beta {
                low,
                high,
                mean,
                sd,
            } => {
                let (a, b) = shapes(low, high, mean, sd);
                low + (high - low) * reach::beta(a, b, u)
            }
            Law::Weibull { scale, shape } => scale * libm::pow(-libm::log1p(-u), 1.0 / shape),
            Law::Exponential { mean } => -mean * libm::log1p(-u),
            Law::Poisson { mean } => {
                Poisson::new(mean).map_or(f64::NAN, |law| count_at(&law, mean, u) as f64)
            }
            Law::Choice(ref list) => chosen(list, u),
        }
    }

    /// The mean without limits.
    fn whole_mean(&self) -> f64 {
        match *self {
            Law::Uniform { low, high } => low + (high - low) / 2.0,
            Law::Triangular { low, likely, high } => low + ((likely - low) + (high - low)) / 3.0,
            Law::LogNormal { median, factor } => {
                let spread = libm::log(factor);
                median * libm::exp(spread * spread / 2.0)
            }
            Law::Weibull { scale, shape } => scale * libm::tgamma(1.0 + 1.0 / shape),
            Law::Normal { mean, .. }
            | Law::Gamma { mean, .. }
            | Law::Beta { mean, .. }
            | Law::Exponential { mean }
            | Law::Poisson { mean } => mean,
            Law::Choice(ref list) => {
                list.iter().map(|(v, w)| v * w).sum::<f64>() / weight(list, |_| true)
            }
        }
    }
}

/// Weight of the values that are meant.
fn weight(list: &[(f64, f64)], meant: impl Fn(f64) -> bool) -> f64 {
    list.iter().filter(|(v, _)| meant(*v)).map(|(_, w)| w).sum()
}

/// The value of a list, in rising order, at which the share reaches `u`; no number where there is none.
fn chosen(list: &[(f64, f64)], u: f64) -> f64 {
    let mut rising: Vec<(f64, f64)> = list.iter().copied().filter(|(_, w)| *w > 0.0).collect();
    rising.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (wanted, mut sum) = (u * weight(&rising, |_| true), 0.0);
    let reached = rising.iter().find(|(_, w)| {
        sum += w;
        sum >= wanted
    });
    reached.or(rising.last()).map_or(f64::NAN, |(v, _)| *v)
}

impl Spreading {
    /// The shares of the whole law below the lower limit and up to the upper.
    fn kept(&self) -> (f64, f64) {
        let from = self.least.map_or(0.0, |x| self.law.below(x));
        let to = self.most.map_or(1.0, |x| self.law.up_to(x));
        (from, to)
    }

    /// The share of the whole law that the limits leave, 0 to 1.
    pub fn share(&self) -> f64 {
        let (from, to) = self.kept();
        (to - from).max(0.0)
    }

    /// A value held to the limits; of counts, to those that are whole numbers.
    fn held(&self, x: f64) -> f64 {
        let whole = matches!(self.law, Law::Poisson { .. });
        let least = self
            .least
            .map_or(f64::NEG_INFINITY, |l| if whole { l.ceil() } else { l });
        let most = self
            .most
            .map_or(f64::INFINITY, |m| if whole { m.floor() } else { m });
        x.max(least).min(most)
    }

    /// The values of a list that the limits leave.
    fn listed(&self, list: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let inside = |v: f64| self.least.is_none_or(|l| v >= l) && self.most.is_none_or(|m| v <= m);
        list.iter().copied().filter(|(v, _)| inside(*v)).collect()
    }

    /// The value below which the share `u` of the law within its limits lies, in the unit of the input: one
    /// uniform number between 0 and 1 makes one draw. Of a law that [`Spreading::check`] refuses it may be
    /// no number.
    pub fn at(&self, u: f64) -> f64 {
        let u = u.max(U.0).min(U.1);
        if let Law::Choice(list) = &self.law {
            return chosen(&self.listed(list), u);
        }
        if self.least.is_none() && self.most.is_none() {
            return self.law.where_reaches(u);
        }
        let (from, to) = self.kept();
        self.held(
            self.law
                .where_reaches((from + u * (to - from)).max(U.0).min(U.1)),
        )
    }

    /// The share of the law within its limits at or below `x`, 0 to 1.
    pub fn cdf(&self, x: f64) -> f64 {
        let (from, to) = self.kept();
        ((self.law.up_to(x) - from) / (to - from)).clamp(0.0, 1.0)
    }

    /// The mean, in the unit of the input: in closed form for a law without limits and for a list, else the
    /// inverse distribution function summed over a fixed grid of 4096 points, denser towards both ends
    /// (within 1e-5 of the spread; a count within 1e-3).
    pub fn mean(&self) -> f64 {
        if let Law::Choice(list) = &self.law {
            return Law::Choice(self.listed(list)).whole_mean();
        }
        if self.least.is_none() && self.most.is_none() {
            return self.law.whole_mean();
        }
        // The grid is even in v with u = v v (3 - 2 v), so that a long tail is met by many points.
        let step = 1.0 / GRID as f64;
        let part = |i: usize| {
            let v = (i as f64 + 0.5) * step;
            self.at(v * v * (3.0 - 2.0 * v)) * 6.0 * v * (1.0 - v) * step
        };
        (0..GRID).map(part).sum()
    }
}
