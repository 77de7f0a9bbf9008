//! The answers of a rule set at one working depth as plain numbers for the solver, each with its source.
//! The judge does not use them: it asks the rule set itself.

use super::rule::RuleName;
use deepstay_rules::{Source, Status};

/// A figure and the rule it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// The figure, s.
    pub s: i64,
    /// The rule.
    pub rule: RuleName,
}

/// Longer time in the water with three in the bell.
#[derive(Clone, Debug, PartialEq)]
pub struct LongWater {
    /// Time in the water, the break counted, s.
    pub s: i64,
    /// The break in the bell, s.
    pub break_s: i64,
    /// The break lies between these seconds of the time in the water.
    pub between_s: (i64, i64),
    /// A dry day as bellman at least every so many days.
    pub dry_every_days: u8,
    /// The rule.
    pub rule: RuleName,
}

/// What a set demands at a working depth. House figures stand in where the set has none.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// Working depth, msw.
    pub depth_msw: f64,
    /// Longest turn, seal to seal.
    pub bell_run: Limit,
    /// Longest time in the bell in any window: the limit, and the window, s.
    pub bell_in_window: Option<(Limit, i64)>,
    /// What counts in that window before each turn, and after it, s.
    pub around_s: (i64, i64),
    /// Turns that may begin in any 24 h.
    pub runs_per_day: Option<(u8, RuleName)>,
    /// Longest time in the water in a turn.
    pub in_water: Limit,
    /// Window in which the time in the water counts, s; none: the turn.
    pub water_window_s: Option<i64>,
    /// Longer time in the water with three in the bell.
    pub long_water: Option<LongWater>,
    /// Unbroken rest between turns.
    pub rest: Limit,
    /// Whether a return before that rest is over leaves the turn's clock running.
    pub clock_runs_on: bool,
}

/// A figure of the house.
pub fn house_rule(name: &str, words: String) -> RuleName {
    RuleName {
        id: format!("house.rota.{name}"),
        words,
        source: Source {
            document: "house figure of the scenario; common practice, no source".to_owned(),
            status: Status::HouseRule,
        },
    }
}
