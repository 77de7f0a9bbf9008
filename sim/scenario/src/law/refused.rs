//! Laws of chance that cannot be: every impossible parameter by its name, with what would be right.

use super::{Law, Spreading};

/// Largest mean of a Poisson law.
const LARGEST_COUNT: f64 = 1e6;
/// Standard deviation over mean of a gamma law: from the first to the second.
const GAMMA_SD: (f64, f64) = (1e-3, 30.0);
/// Least sum of the two shapes of a beta law: below, its values lie on the two ends.
const BETA_LEAST: f64 = 0.02;
/// Largest sum of the two shapes of a beta law.
const BETA_MOST: f64 = 1e6;
/// Least shape of a Weibull law: below, its values span more powers of ten than a number can.
const WEIBULL_LEAST: f64 = 0.05;
/// Least share of a law that its limits may leave.
const LEAST_SHARE: f64 = 1e-6;

/// A bound to four figures.
fn short(bound: f64) -> String {
    let rounded = format!("{bound:.3e}").parse();
    rounded.unwrap_or(bound).to_string()
}

/// Why a law of chance cannot be drawn from.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LawError {
    /// A parameter is not a number, or endless.
    #[error("{law} law: {name} is {value}; it must be a finite number")]
    NotFinite {
        /// The law.
        law: &'static str,
        /// The parameter.
        name: &'static str,
        /// What it is.
        value: f64,
    },
    /// A parameter is 0 or negative.
    #[error("{law} law: {name} is {value}; it must be over 0")]
    NotPositive {
        /// The law.
        law: &'static str,
        /// The parameter.
        name: &'static str,
        /// What it is.
        value: f64,
    },
    /// A parameter is smaller or larger than can be meant.
    #[error("{law} law: {name} is {value}; it must be from {} to {}", short(*.from), short(*.to))]
    Beyond {
        /// The law.
        law: &'static str,
        /// The parameter.
        name: &'static str,
        /// What it is.
        value: f64,
        /// Least that can be meant.
        from: f64,
        /// Most.
        to: f64,
    },
    /// The lower end does not lie below the upper.
    #[error("{law} law: low is {low} and high is {high}; low must be below high")]
    Order {
        /// The law.
        law: &'static str,
        /// The lower end.
        low: f64,
        /// The upper end.
        high: f64,
    },
    /// A value that belongs between the ends does not lie there.
    #[error("{law} law: {name} is {value}; it must lie between low {low} and high {high}")]
    Outside {
        /// The law.
        law: &'static str,
        /// The parameter.
        name: &'static str,
        /// What it is.
        value: f64,
        /// The lower end.
        low: f64,
        /// The upper end.
        high: f64,
    },
    /// A factor that spreads nothing.
    #[error(
        "log-normal law: factor is {0}; it is one geometric standard deviation and must be over 1"
    )]
    Factor(f64),
    /// No law between two ends spreads so far about its mean.
    #[error("beta law: sd is {sd}, too large for the mean between its ends; it must be below {}", short(*.most))]
    Broad {
        /// The standard deviation.
        sd: f64,
        /// What it must stay below.
        most: f64,
    },
    /// A list with nothing in it.
    #[error("choice: the list is empty; it needs at least one value with its weight")]
    NoChoice,
    /// A negative weight.
    #[error("choice: the weight of {value} is {weight}; it must be 0 or more")]
    Weight {
        /// The value.
        value: f64,
        /// Its weight.
        weight: f64,
    },
    /// All weights are 0.
    #[error("choice: all weights are 0; at least one must be over 0")]
    NoWeight,
    /// The limits are the wrong way round.
    #[error("the limits: least is {least} and most is {most}; least must not be above most")]
    Limits {
        /// Lower limit.
        least: f64,
        /// Upper limit.
        most: f64,
    },
    /// The limits leave nothing of the law.
    #[error(
        "the limits leave {share:.1e} of the law ({law}); they must leave at least one part in a million"
    )]
    NothingLeft {
        /// The law in a line.
        law: String,
        /// The share left.
        share: f64,
    },
}

impl Law {
    /// Whether the law can be drawn from.
    ///
    /// # Errors
    /// The first impossible parameter, with what would be right.
    pub fn check(&self) -> Result<(), LawError> {
        let law = self.name();
        let finite = |name, value: f64| {
            let wrong = LawError::NotFinite { law, name, value };
            value.is_finite().then_some(()).ok_or(wrong)
        };
        let positive = |name, value: f64| {
            finite(name, value)?;
            let wrong = LawError::NotPositive { law, name, value };
            (value > 0.0).then_some(()).ok_or(wrong)
        };
        let within = |name, value: f64, (from, to): (f64, f64)| {
            let wrong = LawError::Beyond {
                law,
                name,
                value,
                from,
                to,
            };
            (value >= from && value <= to).then_some(()).ok_or(wrong)
        };
        let ends = |low: f64, high: f64| {
            finite("low", low)?;
            finite("high", high)?;
            finite("high less low", high - low)?;
            (low < high)
                .then_some(())
                .ok_or(LawError::Order { law, low, high })
        };
        match *self {
            Law::Uniform { low, high } => ends(low, high),
            Law::Triangular { low, likely, high } => {
                ends(low, high)?;
                finite("likely", likely)?;
                let wrong = LawError::Outside {
                    law,
                    name: "likely",
                    value: likely,
                    low,
                    high,
                };
                (likely >= low && likely <= high).then_some(()).ok_or(wrong)
            }
            Law::Normal { mean, sd } => {
                finite("mean", mean)?;
                positive("sd", sd)
            }
            Law::LogNormal { median, factor } => {
                positive("median", median)?;
                finite("factor", factor)?;
                if factor <= 1.0 {
                    return Err(LawError::Factor(factor));
                }
                finite("the mean", Spreading::from(self.clone()).mean())
            }
            Law::Gamma { mean, sd } => {
                positive("mean", mean)?;
                positive("sd", sd)?;
                within("sd", sd, (GAMMA_SD.0 * mean, GAMMA_SD.1 * mean))
            }
            Law::Beta {
                low,
                high,
                mean,
                sd,
            } => {
                ends(low, high)?;
                finite("mean", mean)?;
                positive("sd", sd)?;
                if mean <= low || mean >= high {
                    return Err(LawError::Outside {
                        law,
                        name: "mean",
                        value: mean,
                        low,
                        high,
                    });
                }
                // The variance of a beta law is (mean - low)(high - mean)/(sum of its shapes + 1).
                let room = (mean - low) * (high - mean);
                let most = (room / (1.0 + BETA_LEAST)).sqrt();
                if sd > most {
                    return Err(LawError::Broad { sd, most });
                }
                within("sd", sd, ((room / (1.0 + BETA_MOST)).sqrt(), most))
            }
            Law::Weibull { scale, shape } => {
                positive("scale", scale)?;
                positive("shape", shape)?;
                within("shape", shape, (WEIBULL_LEAST, 1e3))
            }
            Law::Exponential { mean } => positive("mean", mean),
            Law::Poisson { mean } => {
                positive("mean", mean)?;
                within("mean", mean, (0.0, LARGEST_COUNT))
            }
            Law::Choice(ref list) => {
                if list.is_empty() {
                    return Err(LawError::NoChoice);
                }
                for &(value, weight) in list {
                    finite("a value", value)?;
                    finite("a weight", weight)?;
                    if weight < 0.0 {
                        return Err(LawError::Weight { value, weight });
                    }
                }
                let all: f64 = list.iter().map(|(_, w)| w).sum();
                finite("the sum of the weights", all)?;
                (all > 0.0).then_some(()).ok_or(LawError::NoWeight)
            }
        }
    }
}

impl Spreading {
    /// Whether the law can be drawn from within its limits.
    ///
    /// # Errors
    /// The first impossible parameter, with what would be right.
    pub fn check(&self) -> Result<(), LawError> {
        self.law.check()?;
        let law = self.law.name();
        for (name, limit) in [
            ("the limit least", self.least),
            ("the limit most", self.most),
        ] {
            if let Some(value) = limit.filter(|v| !v.is_finite()) {
                return Err(LawError::NotFinite { law, name, value });
            }
        }
        if let (Some(least), Some(most)) = (self.least, self.most)
            && least > most
        {
            return Err(LawError::Limits { least, most });
        }
        let share = self.share();
        let left = LawError::NothingLeft {
            law: self.law.to_string(),
            share,
        };
        (share >= LEAST_SHARE).then_some(()).ok_or(left)
    }
}
