//! What a rule set says when it has no answer: which row is missing, and why.

use super::Status;
use serde::Deserialize;
use std::fmt;

/// A question asked of a rule set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Question {
    /// How to press.
    Compression,
    /// Oxygen in storage.
    StorageOxygen,
    /// How to come up.
    Decompression,
    /// How a decompression may start.
    DecompressionStart,
    /// How to come up in need.
    Emergency,
    /// Whether a dive above or below storage may be made.
    Excursion,
    /// Chamber temperature and humidity.
    Climate,
    /// Alarm limits.
    Limits,
    /// When absorbent is changed.
    Absorbent,
    /// How often analysers are calibrated.
    Calibration,
    /// How often the log is written.
    Logging,
    /// Ear drops and washing.
    Hygiene,
    /// Bell run, time in water and rest.
    WorkingTime,
    /// Who stays in the bell.
    BellCrew,
    /// Days under pressure and at the surface.
    SaturationLength,
    /// Carbon dioxide per person, for sizing.
    Co2Sizing,
    /// Carbon dioxide per person, as measured.
    Co2Actual,
    /// Oxygen per person, for sizing.
    O2Sizing,
    /// Oxygen breathed at work.
    WorkOxygen,
    /// Density of what is breathed.
    GasDensity,
    /// How long a mask is worn.
    MaskTime,
}

impl Question {
    /// Every question.
    pub const ALL: [Question; 21] = [
        Question::Compression,
        Question::StorageOxygen,
        Question::Decompression,
        Question::DecompressionStart,
        Question::Emergency,
        Question::Excursion,
        Question::Climate,
        Question::Limits,
        Question::Absorbent,
        Question::Calibration,
        Question::Logging,
        Question::Hygiene,
        Question::WorkingTime,
        Question::BellCrew,
        Question::SaturationLength,
        Question::Co2Sizing,
        Question::Co2Actual,
        Question::O2Sizing,
        Question::WorkOxygen,
        Question::GasDensity,
        Question::MaskTime,
    ];

    /// Plain words.
    pub fn words(self) -> &'static str {
        match self {
            Question::Compression => "compression",
            Question::StorageOxygen => "storage oxygen",
            Question::Decompression => "decompression",
            Question::DecompressionStart => "decompression start",
            Question::Emergency => "emergency decompression",
            Question::Excursion => "excursion",
            Question::Climate => "climate",
            Question::Limits => "alarm limits",
            Question::Absorbent => "absorbent change",
            Question::Calibration => "calibration",
            Question::Logging => "log interval",
            Question::Hygiene => "hygiene",
            Question::WorkingTime => "working time",
            Question::BellCrew => "bell crew",
            Question::SaturationLength => "saturation length",
            Question::Co2Sizing => "carbon dioxide, sizing",
            Question::Co2Actual => "carbon dioxide, measured",
            Question::O2Sizing => "oxygen, sizing",
            Question::WorkOxygen => "oxygen at work",
            Question::GasDensity => "gas density",
            Question::MaskTime => "time on a mask",
        }
    }
}

/// Why a row cannot be used.
#[derive(Clone, Debug, PartialEq)]
pub enum Missing {
    /// The set has no such row.
    NotInSet,
    /// No rows were seen, or the document leaves them to others; the note says which.
    NotSeen(String),
    /// The row does not reach the depth asked for; the text says what it reaches.
    OutOfRange(String),
    /// Usable only where the scenario accepts its id.
    NeedsAcceptance(Status),
}

/// A row that stands in the way of an answer.
#[derive(Clone, Debug, PartialEq)]
pub struct MissingRow {
    /// Its id.
    pub id: String,
    /// Why it cannot be used.
    pub why: Missing,
}

impl fmt::Display for MissingRow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let id = &self.id;
        match &self.why {
            Missing::NotInSet => write!(f, "{id} is not in the set"),
            Missing::NotSeen(note) => write!(f, "{id} has no rows here: {note}"),
            Missing::OutOfRange(range) => {
                write!(f, "{id} {range}, and a printed table is not extended")
            }
            Missing::NeedsAcceptance(status) => {
                let kind = match status {
                    Status::Recalled => "from memory, not read",
                    Status::HouseRule => "assumed",
                    _ => "carried beyond what is printed",
                };
                write!(
                    f,
                    "{id} is {kind}: to use it, name \"{id}\" in accept_recalled"
                )
            }
        }
    }
}

/// A rule set has no answer that this job may use.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("rule set `{set}` does not answer {}: {}", .question.words(), list(.missing))]
pub struct RuleRefusal {
    /// Which set.
    pub set: String,
    /// What was asked.
    pub question: Question,
    /// The rows that stand in the way, at least one.
    pub missing: Vec<MissingRow>,
}

impl RuleRefusal {
    /// The rows that stand in the way: none where the set says nothing at all.
    pub fn missing_of_set(&self) -> Vec<MissingRow> {
        let there = |m: &&MissingRow| m.why != Missing::NotInSet;
        self.missing.iter().filter(there).cloned().collect()
    }
}

fn list(missing: &[MissingRow]) -> String {
    missing
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("; ")
}
