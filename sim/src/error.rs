//! What can go wrong on the way: one family, each with what is wrong, where, and what would be right.

use crate::rota::NoRota;
use crate::rules::RuleRefusal;
use crate::scenario::{Diagnostics, Place};

/// What can go wrong between a file and a report. Its words name the place and, where one is known, the remedy.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// Something a person wrote cannot be used: everything found wrong, each with file, line, column and what would
    /// be right.
    #[error(transparent)]
    Written(#[from] Diagnostics),
    /// The rule set does not answer what was asked of it; the rows that are missing.
    #[error(transparent)]
    Refused(#[from] RuleRefusal),
    /// No rota keeps all rules: those that collide, and the smallest changes that help.
    #[error(transparent)]
    NoRota(#[from] NoRota),
    /// A study cannot be answered.
    #[cfg(feature = "study")]
    #[error(transparent)]
    Study(#[from] crate::stock::StudyError),
    /// A report cannot be written: what was attempted on which path, and what the system said.
    #[cfg(feature = "report")]
    #[error(transparent)]
    Report(#[from] crate::report::ReportError),
}

impl Error {
    /// Where it is, if it is in something that a person wrote.
    pub fn place(&self) -> Option<&Place> {
        let Error::Written(bad) = self else {
            return None;
        };
        bad.all.first().map(|c| &c.place)
    }

    /// What would be right, where that is known.
    pub fn remedy(&self) -> Option<String> {
        match self {
            Error::Written(bad) => bad.all.iter().find_map(|c| c.remedy.clone()),
            Error::NoRota(none) => none.relaxations.first().map(|r| r.words()),
            _ => None,
        }
    }
}
