//! An input of a sum: its symbol, its value, and where it came from.

/// Where an input came from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// The scenario.
    Scenario,
    /// A row of the rule set, by its id.
    Rule(String),
    /// A document that is not part of the set.
    Document(&'static str),
    /// The planner.
    Planner,
    /// Assumed by the house.
    Assumed,
}

impl Origin {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Origin::Scenario => "scenario".to_owned(),
            Origin::Rule(id) => format!("rule {id}"),
            Origin::Document(document) => (*document).to_owned(),
            Origin::Planner => "planner".to_owned(),
            Origin::Assumed => "assumed, house".to_owned(),
        }
    }
}

/// An input of a sum.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// Its symbol in the formula.
    pub symbol: &'static str,
    /// What it is.
    pub what: String,
    /// Its value in its unit.
    pub value: f64,
    /// Its unit; empty for a count or a share.
    pub unit: &'static str,
    /// Where it came from.
    pub from: Origin,
}

impl Term {
    pub(super) fn new(
        symbol: &'static str,
        what: impl Into<String>,
        value: f64,
        unit: &'static str,
        from: Origin,
    ) -> Term {
        Term {
            symbol,
            what: what.into(),
            value,
            unit,
            from,
        }
    }
}
