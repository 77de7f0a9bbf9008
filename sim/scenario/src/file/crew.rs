//! The divers, by their initials.

use super::{MixFile, Number};
use deepstay_core::units::text::{ActualFlow, Bottles, Duration, Gauge, Mass, TimeOfDay};
use deepstay_rules::Post;
use serde::Deserialize;

/// The crew.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CrewFile {
    /// Version of the grammar, where this is a file of its own.
    #[serde(default)]
    pub format: Option<u32>,
    /// Multiplies what a diver breathes in the water; 1 is the table's person.
    #[serde(default = "average")]
    pub breathing: Number,
    /// The bail-out of every diver. Left out, twice 12 L at 300 bar of 6 % heliox, or where a run is too shallow for that
    /// of the leanest whole per cent that can be breathed at all runs (house figures).
    #[serde(default)]
    pub bail_out: Option<BailOutFile>,
    /// The divers.
    pub divers: Vec<DiverFile>,
    /// Who is on shift at the surface; left out, nothing is known of it, and the least numbers are not judged.
    #[serde(default)]
    pub surface: Vec<ShiftFile>,
    /// How long umbilicals are, and how far from the bell is worked; left out, nothing is known of it.
    #[serde(default)]
    pub umbilicals: Option<UmbilicalsFile>,
}

/// People at one post for some hours of every day.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ShiftFile {
    /// Where.
    pub post: Post,
    /// How many at a time.
    pub people: u8,
    /// From this time of the ship's day,
    pub from: TimeOfDay,
    /// to this one; the same as from is the whole day.
    pub to: TimeOfDay,
}

/// Umbilicals and the way that they are used; lengths in metres.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct UmbilicalsFile {
    /// Of a working diver, m.
    pub diver_m: Number,
    /// Of the bellman, m.
    pub bellman_m: Number,
    /// The furthest from the bell that is worked, along the umbilical, m.
    pub excursion_m: Number,
    /// How fast a diver comes back along it, m/min; Brazil's 10 m/min where it is left out.
    #[serde(default = "way_back")]
    pub back_m_min: Number,
}

/// A bail-out: bottles on a diver's back. Its figures are those of the file, or of the house where a field is left out.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BailOutFile {
    /// Bottles and their gauge pressure, such as "2 x 12 L at 300 bar".
    pub bottles: Bottles,
    /// What is in them.
    pub contents: MixFile,
    /// Pressure over the diver's that the regulator wants: below it the bottles are empty for him.
    #[serde(default)]
    pub regulator: Option<Gauge>,
    /// What is breathed from it at the diver's pressure; 35, 40 and 62.5 L/min are published.
    #[serde(default)]
    pub breathed: Option<ActualFlow>,
}

/// A diver.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    /// Hours of the ship's clock in which he prefers to dive, from and to.
    #[serde(default)]
    pub prefers: Option<(TimeOfDay, TimeOfDay)>,
    /// When he comes on board, from the start of the job: he lives in his chamber from the next pressing on.
    #[serde(default)]
    pub joins: Option<Duration>,
    /// When he goes home: he is in no saturation that begins at this time or later.
    #[serde(default)]
    pub leaves: Option<Duration>,
    /// How long before the start of the job he surfaced last.
    #[serde(default)]
    pub surfaced_before: Option<Duration>,
    /// How long that saturation was, from the surface to the surface.
    #[serde(default)]
    pub last_saturation: Option<Duration>,
    /// Time under pressure in the twelve months before the job.
    #[serde(default)]
    pub under_pressure_in_year: Option<Duration>,
}

fn way_back() -> Number {
    Number(10.0)
}

fn average_mass() -> Mass {
    Mass(80.0)
}

fn average() -> Number {
    Number(1.0)
}
