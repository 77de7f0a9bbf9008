//! A sum's answer as it is written in JSON: every number with its unit and where it comes from.

use crate::provenance::StatusWord;
use deepstay_core::CAUTION;
use deepstay_core::units::Units;
use deepstay_sums::{Answer, Figure, Origin};
use serde::Serialize;

/// An answer for a file or another program.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SumSummary {
    /// Which sum.
    pub sum: &'static str,
    /// What it answers.
    pub says: &'static str,
    /// In which units.
    pub units: Units,
    /// The answer.
    pub answer: FigureSummary,
    /// What stands beside it.
    pub also: Vec<FigureSummary>,
    /// What went in.
    pub inputs: Vec<InputSummary>,
    /// The formula.
    pub formula: &'static str,
    /// Document of the formula.
    pub document: &'static str,
    /// How it came to us.
    pub status: StatusWord,
    /// The conventions under which it was made.
    pub conventions: Vec<ConventionSummary>,
    /// The answer under each other convention.
    pub beside: Vec<BesideSummary>,
    /// What has to be said with it.
    pub notes: Vec<String>,
    /// What stands wherever gas and oxygen are shown.
    pub caution: &'static str,
}

/// A number with its name and unit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FigureSummary {
    /// Which.
    pub name: &'static str,
    /// The number.
    pub value: f64,
    /// Its unit; empty for a plain number.
    pub unit: &'static str,
}

/// An input.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct InputSummary {
    /// Which.
    pub name: &'static str,
    /// The number; how many legs, of rates.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
    /// In words.
    pub words: String,
    /// Where it comes from.
    pub from: String,
}

/// One choice between two conventions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ConventionSummary {
    /// Its option.
    pub choice: &'static str,
    /// What was done.
    pub words: &'static str,
}

/// The answer under another convention.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BesideSummary {
    /// Its option.
    pub choice: &'static str,
    /// That convention.
    pub words: &'static str,
    /// The answer.
    pub answer: Option<FigureSummary>,
    /// Why there is none.
    pub why_none: Option<String>,
}

impl From<&Figure> for FigureSummary {
    fn from(figure: &Figure) -> FigureSummary {
        FigureSummary {
            name: figure.name.text(),
            value: figure.value,
            unit: figure.unit,
        }
    }
}

/// Where an input comes from, in words.
pub(super) fn origin_words(origin: &Origin) -> String {
    match origin {
        Origin::Given => "given".to_owned(),
        Origin::Taken(from) => format!("taken from {from}"),
        Origin::Usual(source) => format!("usual: {source}"),
    }
}

impl SumSummary {
    /// Of an answer.
    pub fn of(answer: &Answer) -> SumSummary {
        let figures: Vec<FigureSummary> = answer.figures.iter().map(Into::into).collect();
        let (first, also) = figures.split_at(1);
        SumSummary {
            sum: answer.sum.name,
            says: answer.sum.says,
            units: answer.units,
            answer: first[0].clone(),
            also: also.to_vec(),
            inputs: answer
                .inputs
                .iter()
                .map(|input| InputSummary {
                    name: input.figure.name.text(),
                    value: input.figure.value,
                    unit: input.figure.unit,
                    words: input.figure.words.clone(),
                    from: origin_words(&input.origin),
                })
                .collect(),
            formula: answer.formula,
            document: answer.sum.document,
            status: answer.sum.status.into(),
            conventions: answer
                .conventions
                .iter()
                .map(|(choice, words)| ConventionSummary {
                    choice: choice.spelling().0,
                    words,
                })
                .collect(),
            beside: answer
                .beside
                .iter()
                .map(|beside| BesideSummary {
                    choice: beside.choice.spelling().0,
                    words: beside.words,
                    answer: beside.outcome.as_ref().ok().map(Into::into),
                    why_none: beside.outcome.as_ref().err().cloned(),
                })
                .collect(),
            notes: answer.notes.clone(),
            caution: CAUTION,
        }
    }
}
