//! Which rule figures something rests on, and how each came to us, as a reader needs it said.

use deepstay_rules::Status;
use serde::{Deserialize, Serialize};

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

/// A status as a reader needs it said.
pub fn status_words(status: Status) -> &'static str {
    match status {
        Status::Seen => "read in a copy of the document",
        Status::SecondHand => "SECOND-HAND: read where another page quotes it",
        Status::Recalled => "RECALLED from memory: check against the document",
        Status::Derived => "worked out from other figures",
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
