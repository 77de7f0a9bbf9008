//! How a figure came to us: the word that stands beside every figure of a rule, a sum or a model.

use serde::{Deserialize, Serialize};

/// How a figure came to us.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Status {
    /// Read in a copy of the document.
    Seen,
    /// Read in a page that quotes the document.
    SecondHand,
    /// From memory; usable only where the scenario accepts it by id.
    Recalled,
    /// Arithmetic on other figures.
    Derived,
    /// A choice made for this tool, for demonstration.
    HouseRule,
}

impl std::fmt::Display for Status {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Status::Seen => "seen",
            Status::SecondHand => "second-hand",
            Status::Recalled => "from memory",
            Status::Derived => "derived",
            Status::HouseRule => "house rule",
        })
    }
}
