//! By how much a rule is kept or broken, and how near each came.

use super::rule::RuleName;
use deepstay_core::units::DiverId;

/// By how much a rule is kept or broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Margin {
    /// A time that may be no longer than the limit, s.
    AtMost {
        /// What the rota has, s.
        found_s: i64,
        /// What is allowed, s.
        limit_s: i64,
    },
    /// A time that may be no shorter than the limit, s.
    AtLeast {
        /// What the rota has, s.
        found_s: i64,
        /// What is demanded, s.
        limit_s: i64,
    },
    /// A number of things that may be no more than the limit.
    Count {
        /// What the rota has.
        found: i64,
        /// What is allowed.
        limit: i64,
    },
    /// A value that may be no more than the limit, in thousandths of its unit.
    Value {
        /// What was found.
        found_milli: i64,
        /// What is allowed.
        limit_milli: i64,
        /// The unit of both.
        unit: &'static str,
    },
    /// A demand that is met or not.
    Demand,
}

/// How near a rule came over the whole rota.
#[derive(Clone, Debug, PartialEq)]
pub struct Nearest {
    /// Which rule.
    pub rule: RuleName,
    /// The smallest margin.
    pub margin: Margin,
    /// Whose.
    pub diver: Option<DiverId>,
    /// How often the rota stands at the limit, to within a minute.
    pub binds: u32,
}

impl Margin {
    /// What is left to the limit; less than nothing where it is broken. Seconds, a count, or thousandths.
    pub fn left(self) -> i64 {
        match self {
            Margin::AtMost { found_s, limit_s } => limit_s - found_s,
            Margin::AtLeast { found_s, limit_s } => found_s - limit_s,
            Margin::Count { found, limit } => limit - found,
            Margin::Value {
                found_milli,
                limit_milli,
                ..
            } => limit_milli - found_milli,
            Margin::Demand => 0,
        }
    }
}
