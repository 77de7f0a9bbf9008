//! What a rule is called and where it comes from, and the house's own figures where a rule set has none.

use deepstay_rules::Source;

/// A rule that stands in the way, or nearly.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleName {
    /// Id of the row, or `house.` and a name.
    pub id: String,
    /// What it demands, in words.
    pub words: String,
    /// Where it comes from, with its status.
    pub source: Source,
}

/// House rules of the rota, each an input of the scenario.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct House {
    /// Unbroken rest between two turns where the rule set has none, s.
    pub rest_s: i64,
    /// Longest turn where the rule set has none, s.
    pub bell_run_s: i64,
    /// Longest time in the water where the rule set has none, s.
    pub in_water_s: i64,
    /// Longest time in the water that is planned whatever the rules allow, s; none: as the rules allow.
    pub planned_water_s: Option<i64>,
}
