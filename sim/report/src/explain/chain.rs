//! What a chain says: the figure, the formula in words, each term with its own value and where that came from, what
//! it comes to when added up again, the rule rows, the inputs, and the caution.

use crate::provenance::StatusWord;
use serde::Serialize;

/// The chain behind a figure.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Chain {
    /// Its id.
    pub figure: String,
    /// The file that it is printed in.
    pub file: String,
    /// The figure as it is printed there.
    pub printed: String,
    /// Its unit; nothing for a count.
    pub unit: String,
    /// What it is.
    pub says: String,
    /// The formula in words.
    pub formula: String,
    /// Its terms, in order.
    pub terms: Vec<Term>,
    /// What the terms come to when the formula is gone through again.
    pub again: Again,
    /// The rows of the rule set that had part in it.
    pub rules: Vec<ChainRule>,
    /// The inputs that had part in it.
    pub inputs: Vec<ChainInput>,
    /// What has to be known besides, a sentence each.
    pub remarks: Vec<String>,
    /// What the tool is for, and what it is not; none where no limit, schedule, gas, oxygen or harm is spoken of.
    pub caution: Option<&'static str>,
}

impl Chain {
    /// Whether the figure was added up again and comes to something else.
    pub fn differs(&self) -> bool {
        matches!(self.again, Again::Differs { .. })
    }
}

/// What a figure comes to when it is calculated again.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Again {
    /// The same, within what rounding of the rows and of the figure can do.
    Agrees {
        /// What it comes to.
        value: f64,
        /// What rounding can do.
        within: f64,
    },
    /// Something else.
    Differs {
        /// What it comes to.
        value: f64,
        /// What rounding can do.
        within: f64,
    },
    /// It cannot be calculated from what the folder holds.
    NotFromFiles {
        /// Why.
        why: String,
    },
}

/// A term of a formula.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Term {
    /// What it is.
    pub what: String,
    /// Its value; none where a row only counts.
    pub value: Option<f64>,
    /// Its unit.
    pub unit: String,
    /// Where it comes from.
    pub from: Origin,
}

/// Where a term comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Origin {
    /// Rows of a table of the folder.
    Rows {
        /// The table.
        file: String,
        /// Lines of the file, as `12` or `12 to 45`.
        lines: String,
        /// The column.
        column: String,
    },
    /// Another figure, which has a chain of its own.
    Figure {
        /// Its id.
        id: String,
    },
    /// An input of the scenario.
    Input {
        /// Its path.
        path: String,
    },
    /// A figure of a publication or of the house, with how it came to us.
    Source {
        /// Which.
        document: String,
        /// How it came to us.
        status: StatusWord,
    },
    /// Calculated by the program while it ran, or now from the files.
    Program {
        /// From what.
        from: String,
    },
}

/// A row of the rule set.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct ChainRule {
    /// Its id.
    pub id: String,
    /// What it says.
    pub says: String,
    /// Its figures.
    pub figures: String,
    /// Document, edition, table or paragraph.
    pub document: String,
    /// How it came to us.
    pub status: StatusWord,
    /// The file that the row is written in; none where that is not known any more.
    pub file: Option<String>,
    /// Line, from 1.
    pub line: Option<usize>,
    /// Column, from 1.
    pub column: Option<usize>,
}

/// An input of the scenario.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct ChainInput {
    /// Its path.
    pub path: String,
    /// What is written there; nothing where it is left out and has its default.
    pub written: String,
    /// The file; none where it is left out.
    pub file: Option<String>,
    /// Line, from 1.
    pub line: Option<usize>,
    /// Column, from 1.
    pub column: Option<usize>,
}
