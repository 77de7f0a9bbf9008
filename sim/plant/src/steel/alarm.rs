//! The alarm panel as it is fitted: which alarms there are, how each is set, and where it sounds. What the plant does
//! never depends on it.

use deepstay_core::record::{AlarmOf, Bound, LimitName, Severity, Sounds};
use deepstay_core::units::CompartmentId;

/// One alarm of the panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alarm {
    /// Of which vessel.
    pub at: CompartmentId,
    /// What it is fitted for.
    pub of: AlarmOf,
    /// High or low.
    pub bound: Bound,
    /// At what it rings.
    pub set: SetPoint,
    /// How long the reading must stand beyond the set point, s; none where it is as long as the limit itself has to
    /// stand to count.
    pub delay_s: Option<i64>,
    /// Where it sounds.
    pub sounds: Sounds,
    /// It stays after its cause is gone until somebody resets it.
    pub latches: bool,
}

/// At what an alarm rings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SetPoint {
    /// At the limits of plant and rules in force: at each of them, or at those of one severity.
    Rules(Option<Severity>),
    /// At a value of its own, in the unit of the quantity (of a rate, in a minute), whatever the rules say.
    Own {
        /// The value.
        value: f64,
        /// How grave.
        severity: Severity,
    },
}

impl Alarm {
    /// Whether it rings at a limit of plant and rules.
    pub fn rings_at(&self, limit: &LimitName) -> bool {
        let SetPoint::Rules(severity) = self.set else {
            return false;
        };
        (self.at, self.bound) == (limit.compartment, limit.bound)
            && AlarmOf::of_limit(limit) == Some(self.of)
            && severity.is_none_or(|s| s == limit.severity)
    }

    /// Whether two alarms ring for the same: then one of them says nothing.
    pub fn same_as(&self, other: &Alarm) -> bool {
        (self.at, self.of, self.bound) == (other.at, other.of, other.bound)
            && match (self.set, other.set) {
                (SetPoint::Rules(a), SetPoint::Rules(b)) => a.is_none() || b.is_none() || a == b,
                (SetPoint::Own { value: a, .. }, SetPoint::Own { value: b, .. }) => a == b,
                (SetPoint::Rules(_), SetPoint::Own { .. })
                | (SetPoint::Own { .. }, SetPoint::Rules(_)) => false,
            }
    }
}
