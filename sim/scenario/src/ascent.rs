//! Why a level comes up, and the timetable that the rule set has for it: one answer for whoever plans, takes up or makes
//! a decompression.

use crate::ScenarioData;
use deepstay_rules::{DecompressionPlan, StorageChange};
use serde::{Deserialize, Serialize};

/// Why a level comes up, and so by which timetable.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ascent {
    /// To the surface as planned.
    Planned,
    /// To a shallower storage depth.
    Change,
    /// Aborted while still pressing.
    StillPressing,
    /// Aborted from storage.
    Emergency,
}

impl ScenarioData {
    /// How to come up from a depth, msw, leaving at a second of the job; none if the rule set refuses.
    pub fn ascent(
        &self,
        why: Ascent,
        (from_msw, to_msw): (f64, f64),
        began_s: i64,
    ) -> Option<DecompressionPlan> {
        let (rules, accepted) = (&self.rules, &self.accepted);
        let clock = (self.start_second_of_day + began_s).rem_euclid(86_400);
        match why {
            Ascent::Planned => rules.decompression(from_msw, clock, accepted).ok(),
            Ascent::Change => match rules.change_storage(from_msw, to_msw, clock, accepted) {
                Ok(StorageChange::Bleed(plan)) => Some(plan),
                _ => None,
            },
            Ascent::StillPressing => rules.abort_compression(from_msw, clock, accepted).ok(),
            Ascent::Emergency => rules
                .emergency_decompression(from_msw, clock, accepted)
                .or_else(|_| rules.decompression(from_msw, clock, accepted))
                .ok(),
        }
    }
}
