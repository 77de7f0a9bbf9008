//! What is done when: the storage levels with their steps, the bell runs, the routine of the day.

use super::runs::moderate;
use super::{Number, RunsRef};
use deepstay_core::units::text::{Depth, Duration, Mass, TimeOfDay};
use deepstay_plant::Activity;
use serde::Deserialize;

/// The plan.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PlanFile {
    /// Version of the grammar, where this is a file of its own.
    #[serde(default)]
    pub format: Option<u32>,
    /// Storage levels: the chambers pressed, held and decompressed together.
    pub levels: Vec<LevelFile>,
    /// Bell runs, each by itself, in order of time; or the path of a rota's file of them.
    #[serde(default)]
    pub bell_runs: RunsRef,
    /// Bell runs that recur.
    #[serde(default)]
    pub rota: Vec<RotaFile>,
    /// Dates by which a chamber is to be at the surface; where its level has no Decompress, it begins by the
    /// rule set as late as it may.
    #[serde(default)]
    pub crew_changes: Vec<CrewChangeFile>,
    /// Transfers of divers between chambers at equal pressure, in order of time.
    #[serde(default)]
    pub moves: Vec<MoveFile>,
    /// The routine of the day.
    #[serde(default)]
    pub routine: RoutineFile,
    /// What becomes of a bell run that weather or delay kept from starting.
    #[serde(default)]
    pub slip: SlipFile,
    /// Longest time between two calibrations of an analyser; the rule set's may be shorter.
    #[serde(default = "two_hours")]
    pub calibrate_every: Duration,
    /// When the job ends if it is not over before.
    pub end: Duration,
    /// Whether the divers' exhaled gas is reclaimed.
    #[serde(default)]
    pub reclaim: bool,
    /// Whether chamber gas is recovered in decompression.
    #[serde(default)]
    pub recover_chamber_gas: bool,
}

/// A storage level: chambers that are pressed, held and decompressed together. Two may stand at one depth.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LevelFile {
    /// Compartments: the living chamber first, then what is open to it.
    pub members: Vec<String>,
    /// Steps in order of time.
    pub steps: Vec<StepFile>,
}

/// A step of a storage level.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct StepFile {
    /// Earliest time, from the start of the job.
    pub at: Duration,
    /// What.
    pub what: StepWhat,
}

/// What a storage level is told to do.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum StepWhat {
    /// Press from the surface to a storage depth by the rule set.
    Press(Depth),
    /// Go to another storage depth by the rule set.
    ChangeStorage(Depth),
    /// Come up to the surface by the rule set.
    Decompress,
    /// Break off.
    Abort,
}

/// Bell runs that recur: one every so often, the teams in turn.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RotaFile {
    /// Which bell; the only one where not given.
    #[serde(default)]
    pub bell: Option<String>,
    /// Team numbers in the order of their turns.
    pub teams: Vec<u8>,
    /// Start of the checks of the first run, from the start of the job.
    pub first: Duration,
    /// Start to start.
    pub every: Duration,
    /// No run starts after this.
    pub last: Duration,
    /// Depth; the site's working depth where not given.
    #[serde(default)]
    pub depth: Option<Depth>,
    /// Time each works in the water.
    pub in_water: Duration,
    /// How hard.
    #[serde(default = "moderate")]
    pub work: Activity,
}

/// A crew change.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CrewChangeFile {
    /// Living chamber that comes up.
    pub chamber: String,
    /// When it is to be at the surface, from the start of the job.
    pub surface_by: Duration,
}

/// A transfer between chambers.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MoveFile {
    /// Earliest time, from the start of the job.
    pub at: Duration,
    /// Initials.
    pub divers: Vec<String>,
    /// Chamber they go to.
    pub to: String,
}

/// The routine of the day, by the ship's clock.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct RoutineFile {
    /// Meals locked in.
    pub meals: Vec<TimeOfDay>,
    /// Laundry and linen.
    pub laundry: Option<TimeOfDay>,
    /// Stores.
    pub stores: Vec<TimeOfDay>,
    /// Runs of stores a day, spread evenly over the time that is not night, in the place of `stores`.
    pub stores_per_day: Option<Number>,
    /// Toilet flushes per diver and day.
    pub toilet_per_day: Number,
    /// Water that evaporates in a shower.
    pub shower_vapour: Mass,
    /// How long the water of a shower runs.
    pub shower_length: Duration,
    /// The two handovers of the watch.
    pub handover: (TimeOfDay, TimeOfDay),
    /// The chamber's night, from and to, when those off shift sleep.
    pub night: (TimeOfDay, TimeOfDay),
}

impl Default for RoutineFile {
    /// A day with four meals; common practice, no source.
    fn default() -> Self {
        let clock = |hours: i64, minutes: i64| TimeOfDay(hours * 3600 + minutes * 60);
        RoutineFile {
            meals: vec![clock(0, 30), clock(6, 30), clock(12, 30), clock(18, 30)],
            laundry: Some(clock(10, 0)),
            stores: vec![clock(15, 0)],
            stores_per_day: None,
            toilet_per_day: Number(6.0),
            shower_vapour: Mass(0.2),
            shower_length: Duration(600),
            handover: (clock(6, 0), clock(18, 0)),
            night: (clock(22, 0), clock(6, 0)),
        }
    }
}

/// What becomes of a turn that was missed.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum SlipFile {
    /// It is lost.
    #[default]
    Skip,
    /// It and all that follow move later.
    Shift,
    /// It is lost once the sea lets the bell go again, and from then on the runs are planned anew for the work
    /// that is left: in a run, a study and a forecast. On a watch, and where failures are tried, nobody plans anew.
    Replan,
}

fn two_hours() -> Duration {
    Duration(7200)
}
