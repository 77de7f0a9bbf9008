//! The row that something is asked by, and the answers in words.

use crate::provenance::{StatusWord, word_words};
use deepstay_rules::Cited;
use serde::Serialize;

/// A row that something is asked by.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AskedBy {
    /// Its id.
    pub rule: String,
    /// Its document.
    pub document: String,
    /// How it came to us.
    pub status: StatusWord,
}

impl From<&Cited> for AskedBy {
    fn from(by: &Cited) -> AskedBy {
        AskedBy {
            rule: by.id.clone(),
            document: by.source.document.clone(),
            status: by.source.status.into(),
        }
    }
}

impl AskedBy {
    /// In one line.
    pub(in crate::job) fn words(&self) -> String {
        format!(
            "{}: {} ({})",
            self.rule,
            self.document,
            word_words(self.status)
        )
    }

    /// Whether it is to be checked before it is believed.
    pub(in crate::job) fn weak(&self) -> bool {
        matches!(self.status, StatusWord::Recalled | StatusWord::SecondHand)
    }
}
