//! What sums there are, and what each takes and answers, for another program.

use crate::provenance::StatusWord;
use deepstay_core::CAUTION;
use deepstay_sums::{Ask, GROUPS, How, Name, Sum};
use serde::Serialize;

/// Every sum.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SumsDescribed {
    /// They.
    pub sums: Vec<SumDescribed>,
    /// What stands wherever gas and oxygen are shown.
    pub caution: &'static str,
}

/// A sum.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SumDescribed {
    /// Its name.
    pub sum: &'static str,
    /// What it is about.
    pub group: &'static str,
    /// What it answers.
    pub says: &'static str,
    /// What goes in.
    pub takes: Vec<InputDescribed>,
    /// What comes out.
    pub answers: Vec<NameDescribed>,
    /// The formula, metric.
    pub formula_metric: &'static str,
    /// The formula, imperial.
    pub formula_imperial: &'static str,
    /// The formula by the real gas, where it knows one.
    pub formula_real: Option<&'static str>,
    /// Document of the formula.
    pub document: &'static str,
    /// How it came to us.
    pub status: StatusWord,
    /// Its conventions.
    pub conventions: Vec<ChoiceDescribed>,
    /// Inputs of an example, metric.
    pub example: &'static str,
    /// Inputs of an example, imperial.
    pub imperial_example: &'static str,
}

/// A quantity by its name.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NameDescribed {
    /// Its name.
    pub name: &'static str,
    /// What it means.
    pub says: &'static str,
    /// How it is written: its units.
    pub written: String,
}

/// An input.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct InputDescribed {
    /// Which.
    #[serde(flatten)]
    pub of: NameDescribed,
    /// Whether it must be given.
    pub needed: bool,
    /// What is taken where it is not given.
    pub otherwise: Option<String>,
    /// Where that is from.
    pub source: Option<&'static str>,
}

/// A choice between two conventions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChoiceDescribed {
    /// Its option.
    pub choice: &'static str,
    /// Its two sides, that of the hand sums first.
    pub sides: [&'static str; 2],
}

impl From<Name> for NameDescribed {
    fn from(name: Name) -> NameDescribed {
        NameDescribed {
            name: name.text(),
            says: name.says(),
            written: name.kind().written(),
        }
    }
}

impl From<&Ask> for InputDescribed {
    fn from(ask: &Ask) -> InputDescribed {
        let (otherwise, source) = match ask.how {
            How::Needed => (None, None),
            How::Usual {
                metric,
                imperial,
                source,
                ..
            } if metric == imperial => (Some(metric.to_owned()), Some(source)),
            How::Usual {
                metric,
                imperial,
                source,
                ..
            } => (Some(format!("{metric} or {imperial}")), Some(source)),
            How::As(other) => (Some(format!("as {}", other.text())), None),
            How::AirAtSurface => (Some("of the air, from the surface".to_owned()), None),
        };
        InputDescribed {
            of: ask.name.into(),
            needed: ask.how == How::Needed,
            otherwise,
            source,
        }
    }
}

impl SumDescribed {
    /// Of a sum.
    pub fn of(sum: &Sum) -> SumDescribed {
        let mut groups = GROUPS.iter();
        let group = groups.find(|g| g.sums.iter().any(|s| s.name == sum.name));
        SumDescribed {
            sum: sum.name,
            group: group.map_or("", |g| g.title),
            says: sum.says,
            takes: sum.asks.iter().map(Into::into).collect(),
            answers: sum.answers.iter().map(|name| (*name).into()).collect(),
            formula_metric: sum.formula.metric,
            formula_imperial: sum.formula.imperial,
            formula_real: Some(sum.formula.real).filter(|f| !f.is_empty()),
            document: sum.document,
            status: sum.status.into(),
            conventions: sum
                .choices
                .iter()
                .map(|choice| choice.spelling())
                .map(|(choice, sides)| ChoiceDescribed { choice, sides })
                .collect(),
            example: sum.example,
            imperial_example: sum.imperial_example,
        }
    }
}

impl SumsDescribed {
    /// Of some sums.
    pub fn of<'a>(sums: impl IntoIterator<Item = &'a Sum>) -> SumsDescribed {
        SumsDescribed {
            sums: sums.into_iter().map(SumDescribed::of).collect(),
            caution: CAUTION,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_sums::sums;

    #[test]
    fn every_sum_is_described_with_what_it_needs_and_what_it_takes_otherwise() {
        let all = serde_json::to_value(SumsDescribed::of(sums())).expect("JSON");
        let each = all["sums"].as_array().expect("a list");
        assert_eq!(each.len(), sums().count());
        assert_eq!(all["caution"], CAUTION);
        let quad = each
            .iter()
            .find(|s| s["sum"] == "on-board-oxygen")
            .expect("there");
        assert_eq!(quad["group"], "Bell and bail-out");
        let takes = quad["takes"].as_array().expect("a list");
        let of = |name: &str| takes.iter().find(|t| t["name"] == name).expect("there");
        assert_eq!(of("people")["needed"], true);
        assert_eq!(
            of("oxygen-rate")["otherwise"],
            "0.5 L/min or 0.0177 ft3/min"
        );
        assert!(
            of("oxygen-rate")["source"]
                .as_str()
                .is_some_and(|s| s.contains("France"))
        );
        assert_eq!(quad["answers"][0]["name"], "time");
        assert_eq!(quad["conventions"][0]["choice"], "gas-law");
    }
}
