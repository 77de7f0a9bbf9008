//! The work list, and how the rota is to be made.

use deepstay_core::units::text::{Depth, Duration, Share};
use serde::Deserialize;

/// What the rota is made for.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WorkFile {
    /// Version of the grammar, where this is a file of its own.
    pub format: Option<u32>,
    /// Tasks in the order in which they are wanted; none: as much time in the water as the rules allow.
    pub tasks: Vec<TaskFile>,
    /// Share of the time in the water that weather is expected to take.
    pub weather_allowance: Share,
    /// Whether teams stay as the crew's file has them.
    pub teams: TeamsFile,
    /// Whether bells leave at the same hours every day, and whether each team has its own.
    pub hours: HoursFile,
    /// Whether each team keeps to one bell.
    pub bells: BellsFile,
    /// No bell leaves before this, from the start of the job; where not given, when divers are at depth.
    pub first: Option<Duration>,
    /// All bells are home by this; where not given, when divers leave their depth.
    pub last: Option<Duration>,
    /// From the bell sealed to its trunk again to the next divers sealed in; no shorter than the stations need.
    pub turn_round: Duration,
    /// Rest between two turns where the rule set has none.
    pub rest: Duration,
    /// Longest time in the water that is planned; where not given, as the rules allow.
    pub in_water: Option<Duration>,
}

/// A task.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TaskFile {
    /// What it is called.
    pub name: String,
    /// Depth; the site's working depth where not given.
    #[serde(default)]
    pub depth: Option<Depth>,
    /// Time in the water that it takes with all its divers at it.
    pub in_water: Duration,
    /// How many work at it at once.
    #[serde(default = "one")]
    pub divers: u8,
    /// Qualifications that someone in the water must have, in the words of the crew's file.
    #[serde(default)]
    pub qualifications: Vec<String>,
    /// Gas that it takes beside breathing gas, such as oxygen for burning.
    #[serde(default)]
    pub gas: Option<String>,
    /// Names of tasks that must be done before it.
    #[serde(default)]
    pub after: Vec<String>,
}

/// Who makes the teams.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum TeamsFile {
    /// The crew's file.
    #[default]
    Fixed,
    /// The rota, from those of one chamber.
    Free,
}

/// When bells leave.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum HoursFile {
    /// At the same hours every day, and each team at its own.
    #[default]
    Kept,
    /// At the same hours every day; teams take turns at them.
    Shared,
    /// Whenever bell and divers are ready.
    Free,
}

/// Which bell a team dives from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum BellsFile {
    /// Each team has its own, and bells of equal reach have as many teams as each other, or one more.
    #[default]
    Kept,
    /// Whichever is ready.
    Free,
}

impl Default for WorkFile {
    /// Common practice, no source.
    fn default() -> Self {
        WorkFile {
            format: None,
            tasks: Vec::new(),
            weather_allowance: Share(0.0),
            teams: TeamsFile::Fixed,
            hours: HoursFile::Kept,
            bells: BellsFile::Kept,
            first: None,
            last: None,
            turn_round: Duration(40 * 60),
            rest: Duration(12 * 3600),
            in_water: None,
        }
    }
}

fn one() -> u8 {
    1
}
