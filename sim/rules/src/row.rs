//! A row: figures of one kind with their id and source, and whether a job may use them.

use super::{Cited, Missing, MissingRow, Source, Status};
use serde::Deserialize;

/// Figures with an id and a source.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Row<T> {
    /// Id, as `accept_recalled` names it.
    pub id: String,
    /// Where the figures come from. A row without one does not load.
    #[serde(default)]
    pub source: Source,
    /// Whether the row needs acceptance whatever its status (an assumed or extrapolated figure).
    #[serde(default)]
    pub only_if_accepted: bool,
    /// The figures.
    pub figures: T,
    /// The set that it was taken from, where the set that it is in is based on that; none of what is its own.
    #[serde(skip)]
    #[cfg_attr(feature = "schema", schemars(skip))]
    pub(super) from: Option<String>,
}

/// What a kind of figures prints as in a list of provenance.
pub trait Printed {
    /// The figures in words, with units.
    fn printed(&self) -> String;
}

impl<T: Printed> Row<T> {
    /// The figures in words, with units.
    pub fn words(&self) -> String {
        self.figures.printed()
    }
}

impl<T> Row<T> {
    /// The same row in a set that is based on another; one that the other took itself stays of where it took it.
    #[must_use]
    pub(super) fn taken_from(mut self, set: &str) -> Row<T> {
        self.from.get_or_insert_with(|| set.to_owned());
        self
    }

    /// Whether a job that accepts these ids may use the row.
    pub fn usable(&self, accepted: &[String]) -> Result<&T, MissingRow> {
        let needs = self.only_if_accepted || self.source.status == Status::Recalled;
        if needs && !accepted.contains(&self.id) {
            return Err(MissingRow {
                id: self.id.clone(),
                why: Missing::NeedsAcceptance(self.source.status),
            });
        }
        Ok(&self.figures)
    }
}

/// One line of provenance: a figure in the set, whether a job uses it or not.
#[derive(Clone, Debug, PartialEq)]
pub struct Provenance {
    /// Id of the row.
    pub id: String,
    /// What it is about.
    pub what: String,
    /// The figures as printed.
    pub figures: String,
    /// Where they come from.
    pub source: Source,
    /// Whether a job may use it only by accepting its id.
    pub needs_acceptance: bool,
}

/// A row's figures with where they come from.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked<T> {
    /// The figures.
    pub figures: T,
    /// The row.
    pub by: Cited,
}

/// Rows that hold beside each other: all that a job may use, and those that stand in the way of more.
#[derive(Clone, Debug, PartialEq)]
pub struct All<T> {
    /// What may be used.
    pub of: Vec<Asked<T>>,
    /// Rows that are there and may not be used.
    pub missing: Vec<MissingRow>,
}

impl<T: Printed + Clone> All<T> {
    pub(super) fn of(rows: &[Row<T>], accepted: &[String]) -> All<T> {
        let mut all = All {
            of: Vec::new(),
            missing: Vec::new(),
        };
        for row in rows {
            match row.usable(accepted) {
                Ok(figures) => all.of.push(Asked {
                    figures: figures.clone(),
                    by: Cited::of(row),
                }),
                Err(gap) => all.missing.push(gap),
            }
        }
        all
    }

    /// Why nothing is asked, where nothing is.
    pub fn silent(&self) -> Option<String> {
        let words: Vec<String> = self.missing.iter().map(ToString::to_string).collect();
        self.of.is_empty().then(|| match words.is_empty() {
            true => "the set says nothing of it".to_owned(),
            false => words.join("; "),
        })
    }
}

impl Cited {
    pub(super) fn of<T: Printed>(row: &Row<T>) -> Cited {
        Cited {
            id: row.id.clone(),
            figures: row.figures.printed(),
            source: row.source.clone(),
        }
    }
}

/// First row that reaches the question and may be used; what stood in the way of the others.
pub(super) fn pick<'a, T>(
    rows: &'a [Row<T>],
    accepted: &[String],
    reaches: impl Fn(&T) -> Result<(), String>,
    missing: &mut Vec<MissingRow>,
) -> Option<&'a Row<T>> {
    for row in rows {
        match reaches(&row.figures).map_err(|range| MissingRow {
            id: row.id.clone(),
            why: Missing::OutOfRange(range),
        }) {
            Err(gap) => missing.push(gap),
            Ok(()) => match row.usable(accepted) {
                Ok(_) => return Some(row),
                Err(gap) => missing.push(gap),
            },
        }
    }
    None
}
