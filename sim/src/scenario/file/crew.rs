//! The divers, by their initials.

use super::Number;
use crate::units::text::Mass;
use schemars::JsonSchema;
use serde::Deserialize;

/// The crew.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CrewFile {
    /// Version of the grammar, where this is a file of its own.
    #[serde(default)]
    pub format: Option<u32>,
    /// The divers.
    pub divers: Vec<DiverFile>,
}

/// A diver.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DiverFile {
    /// Initials, two to four letters; no names.
    pub initials: String,
    /// Chamber he lives in.
    pub chamber: String,
    /// Team he dives with.
    pub team: u8,
    /// Body mass.
    #[serde(default = "average_mass")]
    pub mass: Mass,
    /// Multiplies his metabolic rates; 1 is the table's person.
    #[serde(default = "average")]
    pub metabolism: Number,
    /// Qualifications.
    #[serde(default)]
    pub qualifications: Vec<String>,
}

fn average_mass() -> Mass {
    Mass(80.0)
}

fn average() -> Number {
    Number(1.0)
}
