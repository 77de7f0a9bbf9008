//! What an input may be when it is not known: a law of chance with its parameters, held to limits where
//! nature or steel sets them, and drawn by its inverse distribution function from one uniform number.
//!
//! Parameters are those that a planner can name (a mean and a standard deviation, a median and a factor,
//! least, likely and most), all in the unit of the input. The laws are those of the textbooks; the
//! inverse of Gauss and the distribution functions of gamma, beta and Poisson come from `statrs`, the others
//! are closed forms.

mod curve;
#[cfg(test)]
mod curve_tests;
mod reach;
mod refused;
#[cfg(test)]
mod refused_tests;

pub use refused::LawError;

use std::fmt;

/// A law of chance.
#[derive(Clone, Debug, PartialEq)]
pub enum Law {
    /// All values between two are equally likely.
    Uniform {
        /// Least, in the unit of the input.
        low: f64,
        /// Most.
        high: f64,
    },
    /// A straight rise from the least value to the likeliest and a straight fall to the most.
    Triangular {
        /// Least, in the unit of the input.
        low: f64,
        /// Likeliest.
        likely: f64,
        /// Most.
        high: f64,
    },
    /// The law of Gauss.
    Normal {
        /// Mean, in the unit of the input.
        mean: f64,
        /// Standard deviation.
        sd: f64,
    },
    /// The logarithm follows the law of Gauss.
    LogNormal {
        /// Median, in the unit of the input, over 0.
        median: f64,
        /// One geometric standard deviation, over 1: two thirds lie between median / factor and
        /// median x factor.
        factor: f64,
    },
    /// A skew law for what cannot fall below 0.
    Gamma {
        /// Mean, in the unit of the input, over 0.
        mean: f64,
        /// Standard deviation.
        sd: f64,
    },
    /// A rounded law between two ends.
    Beta {
        /// Least, in the unit of the input.
        low: f64,
        /// Most.
        high: f64,
        /// Mean, between the two.
        mean: f64,
        /// Standard deviation.
        sd: f64,
    },
    /// The law of lives and of wave heights.
    Weibull {
        /// The value that 63.2 % stay below, in the unit of the input.
        scale: f64,
        /// Shape, over 0: below 1 the young fail, above 1 the old.
        shape: f64,
    },
    /// The time to the next of events that come at a constant rate.
    Exponential {
        /// Mean, in the unit of the input.
        mean: f64,
    },
    /// How many of such events come in a time.
    Poisson {
        /// Mean count.
        mean: f64,
    },
    /// One of a list: values and their weights, which need not add up to 1.
    Choice(Vec<(f64, f64)>),
}

/// A law of chance held to limits: what lies outside them is not drawn, and the rest of the law keeps its
/// proportions.
#[derive(Clone, Debug, PartialEq)]
pub struct Spreading {
    /// The law.
    pub law: Law,
    /// Nothing below this is drawn, in the unit of the input.
    pub least: Option<f64>,
    /// Nothing above this is drawn.
    pub most: Option<f64>,
}

impl From<Law> for Spreading {
    fn from(law: Law) -> Spreading {
        Spreading {
            law,
            least: None,
            most: None,
        }
    }
}

impl Law {
    /// What the law is called.
    pub fn name(&self) -> &'static str {
        match self {
            Law::Uniform { .. } => "uniform",
            Law::Triangular { .. } => "triangular",
            Law::Normal { .. } => "normal",
            Law::LogNormal { .. } => "log-normal",
            Law::Gamma { .. } => "gamma",
            Law::Beta { .. } => "beta",
            Law::Weibull { .. } => "Weibull",
            Law::Exponential { .. } => "exponential",
            Law::Poisson { .. } => "Poisson",
            Law::Choice(_) => "choice",
        }
    }
}

impl Spreading {
    /// The same law in another unit: every value times `by`.
    pub fn scaled(&self, by: f64) -> Spreading {
        let law = match self.law.clone() {
            Law::Uniform { low, high } => Law::Uniform {
                low: low * by,
                high: high * by,
            },
            Law::Triangular { low, likely, high } => Law::Triangular {
                low: low * by,
                likely: likely * by,
                high: high * by,
            },
            Law::Normal { mean, sd } => Law::Normal {
                mean: mean * by,
                sd: sd * by,
            },
            Law::LogNormal { median, factor } => Law::LogNormal {
                median: median * by,
                factor,
            },
            Law::Gamma { mean, sd } => Law::Gamma {
                mean: mean * by,
                sd: sd * by,
            },
            Law::Beta {
                low,
                high,
                mean,
                sd,
            } => Law::Beta {
                low: low * by,
                high: high * by,
                mean: mean * by,
                sd: sd * by,
            },
            Law::Weibull { scale, shape } => Law::Weibull {
                scale: scale * by,
                shape,
            },
            Law::Exponential { mean } => Law::Exponential { mean: mean * by },
            Law::Poisson { mean } => Law::Poisson { mean: mean * by },
            Law::Choice(list) => Law::Choice(
                list.into_iter()
                    .map(|(value, weight)| (value * by, weight))
                    .collect(),
            ),
        };
        Spreading {
            law,
            least: self.least.map(|x| x * by),
            most: self.most.map(|x| x * by),
        }
    }
}

impl fmt::Display for Law {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = self.name();
        match self {
            Law::Uniform { low, high } => write!(f, "{name}, {low} to {high}"),
            Law::Triangular { low, likely, high } => {
                write!(f, "{name}, {low} to {high}, likely {likely}")
            }
            Law::Normal { mean, sd } | Law::Gamma { mean, sd } => {
                write!(f, "{name}, mean {mean}, sd {sd}")
            }
            Law::LogNormal { median, factor } => {
                write!(f, "{name}, median {median}, factor {factor}")
            }
            Law::Beta {
                low,
                high,
                mean,
                sd,
            } => write!(f, "{name}, {low} to {high}, mean {mean}, sd {sd}"),
            Law::Weibull { scale, shape } => write!(f, "{name}, scale {scale}, shape {shape}"),
            Law::Exponential { mean } | Law::Poisson { mean } => write!(f, "{name}, mean {mean}"),
            Law::Choice(list) => {
                let all: f64 = list.iter().map(|(_, w)| w).sum();
                write!(f, "{name} of")?;
                for (i, (value, weight)) in list.iter().enumerate() {
                    let joint = if i == 0 { "" } else { "," };
                    write!(f, "{joint} {value} ({:.0} %)", weight / all * 100.0)?;
                }
                Ok(())
            }
        }
    }
}

impl fmt::Display for Spreading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.law)?;
        match (self.least, self.most) {
            (None, None) => Ok(()),
            (Some(least), None) => write!(f, "; none below {least}"),
            (None, Some(most)) => write!(f, "; none above {most}"),
            (Some(least), Some(most)) => write!(f, "; none below {least} or above {most}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_law_says_itself_in_a_line() {
        let said = |law: Law| Spreading::from(law).to_string();
        assert_eq!(
            said(Law::Triangular {
                low: 0.8,
                likely: 0.88,
                high: 0.95
            }),
            "triangular, 0.8 to 0.95, likely 0.88"
        );
        assert_eq!(
            said(Law::Choice(vec![(1.0, 3.0), (2.5, 1.0)])),
            "choice of 1 (75 %), 2.5 (25 %)"
        );
        let cut = Spreading {
            law: Law::Normal {
                mean: 40.0,
                sd: 6.0,
            },
            least: Some(25.0),
            most: Some(75.0),
        };
        assert_eq!(
            cut.to_string(),
            "normal, mean 40, sd 6; none below 25 or above 75"
        );
        let held = Spreading { most: None, ..cut };
        assert_eq!(held.to_string(), "normal, mean 40, sd 6; none below 25");
    }
}
