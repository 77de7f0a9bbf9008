//! Which rule figures something rests on, and how each came to us, as a reader needs it said.

use deepstay_core::record::RuleRows;
use deepstay_rules::{RuleSet, Status};
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// A figure of the rule set that the run used.
#[derive(Clone, Debug, PartialEq)]
pub struct ProvenanceRow {
    /// Its id in the rule set.
    pub id: String,
    /// What it says, in plain words.
    pub what: String,
    /// The figures, with their units.
    pub figures: String,
    /// Document, edition, table or paragraph.
    pub document: String,
    /// How it came to us.
    pub status: Status,
}

/// Every row of the rule set that answered what a job asked, as its record has it, in the set's own order.
pub fn provenance(scenario: &Scenario, used: &RuleRows) -> Vec<ProvenanceRow> {
    let list = scenario.rules.row_list();
    let ids: BTreeSet<String> = used
        .used()
        .filter_map(|(row, _)| list.get(row.index()))
        .map(|row| row.id.clone())
        .collect();
    list.into_iter()
        .filter(|row| ids.contains(&row.id))
        .map(|row| ProvenanceRow {
            id: row.id,
            what: row.what,
            figures: row.figures,
            document: row.source.document,
            status: row.source.status,
        })
        .collect()
}

/// Rows of a set by their ids, beside those that are in a list already.
pub(crate) fn rows_of(
    known: &[ProvenanceRow],
    ids: &[&str],
    rules: &RuleSet,
) -> Vec<ProvenanceRow> {
    let new = |id: &str| !known.iter().any(|row| row.id == id);
    let wanted: BTreeSet<&str> = ids.iter().copied().filter(|id| new(id)).collect();
    let mine = rules.provenance().into_iter();
    mine.filter(|p| wanted.contains(p.id.as_str()))
        .map(|p| ProvenanceRow {
            id: p.id,
            what: p.what,
            figures: p.figures,
            document: p.source.document,
            status: p.source.status,
        })
        .collect()
}

/// A status as a reader needs it said.
pub fn status_words(status: Status) -> &'static str {
    match status {
        Status::Seen => "read in a copy of the document",
        Status::SecondHand => "SECOND-HAND: read where another page quotes it",
        Status::Recalled => "FROM MEMORY, not verified: check against the document",
        Status::Derived => "calculated from other figures",
        Status::HouseRule => "house rule of this demonstration",
    }
}

/// A status as one word, for files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "the same words as in the rule room")]
pub enum StatusWord {
    Seen,
    SecondHand,
    Recalled,
    Derived,
    HouseRule,
}

/// A status that was a word in a file, as a reader needs it said.
pub fn word_words(status: StatusWord) -> &'static str {
    status_words(match status {
        StatusWord::Seen => Status::Seen,
        StatusWord::SecondHand => Status::SecondHand,
        StatusWord::Recalled => Status::Recalled,
        StatusWord::Derived => Status::Derived,
        StatusWord::HouseRule => Status::HouseRule,
    })
}

impl From<Status> for StatusWord {
    fn from(status: Status) -> StatusWord {
        match status {
            Status::Seen => StatusWord::Seen,
            Status::SecondHand => StatusWord::SecondHand,
            Status::Recalled => StatusWord::Recalled,
            Status::Derived => StatusWord::Derived,
            Status::HouseRule => StatusWord::HouseRule,
        }
    }
}
