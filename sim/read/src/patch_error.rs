//! Why an input could not be patched, and what would be right.

use super::diagnostics::{Diagnostic, Place, Wrong, did_you_mean, nearest};

/// Why an input could not be patched.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PatchError {
    /// No such input.
    #[error("there is no `{step}` in `{within}`")]
    NoSuch {
        /// What was looked for.
        step: String,
        /// Where.
        within: String,
        /// What there is.
        known: Vec<String>,
    },
    /// More than one part has it.
    #[error("`{0}` may be meant in more than one part of the job: write the part's name first")]
    Ambiguous(String),
    /// Not a path.
    #[error(
        "`{0}` is no path to an input; write it like stock.reclaim.recovery or spread.compartments[*].leak"
    )]
    NoPath(String),
    /// What is to be put there breaks the notation.
    #[error("`{text}` cannot be written there: {why}")]
    Notation {
        /// What was to be put there.
        text: String,
        /// What breaks it.
        why: String,
    },
    /// What is written there is not a number with a unit.
    #[error("what is written there, {found}, is not a number that can be {done}")]
    NoNumber {
        /// What is written.
        found: String,
        /// What was to be done.
        done: &'static str,
    },
    /// Two units.
    #[error("{found} and {added} have different units")]
    Units {
        /// What is written.
        found: String,
        /// What was to be added.
        added: String,
    },
}

impl PatchError {
    /// What is wrong with a patch whose path was given as this text.
    pub fn told(&self, path: &str) -> Diagnostic {
        let remedy = match self {
            PatchError::NoSuch { step, known, .. } => {
                did_you_mean(nearest(step, known.iter().map(String::as_str)))
                    .or_else(|| (!known.is_empty()).then(|| format!("there: {}", known.join(", "))))
            }
            _ => None,
        };
        Diagnostic {
            place: Place {
                path: path.to_owned(),
                excerpt: path.to_owned(),
                ..Place::whole("change of an input")
            },
            wrong: Wrong::Value(self.to_string()),
            remedy,
        }
    }
}
