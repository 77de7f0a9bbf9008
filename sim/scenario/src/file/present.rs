//! How a job under way stands: the day, what gauges and analysers show, who is where, and what was used so far. For the
//! gas alone the banks are enough; a job is taken up from a whole page.

use super::Number;
use deepstay_core::units::text::{
    Depth, Duration, Gauge, Mass, Partial, Power, Share, Temperature, Volume,
};
use serde::Deserialize;

/// Relative error of a meter where the present says nothing (assumed, no source).
pub const METER_ERROR: f64 = 0.03;
/// Error of a bank's gauge where the present says nothing, Pa (assumed, no source).
pub const GAUGE_ERROR_PA: f64 = 1e5;

/// How a job stands.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PresentFile {
    /// Version of the grammar; 1.
    pub format: u32,
    /// Short name of the scenario that the job follows.
    pub scenario: String,
    /// Vessel time, `"D12 06:00"` or `"2031-06-13 06:00"`; or the time since the start of the job, `"11 d"`.
    pub at: String,
    /// What the gauges show; a bank left out stands as it was loaded.
    pub banks: Vec<BankNow>,
    /// What each level does.
    #[serde(default)]
    pub levels: Vec<LevelNow>,
    /// What instruments show of each compartment; locks and tanks left out are at the surface with deck air.
    #[serde(default)]
    pub compartments: Vec<CompartmentNow>,
    /// Who is where, each diver once.
    #[serde(default)]
    pub divers: Vec<DiverNow>,
    /// Doors that do not stand as they do in a level at rest: open within it, shut around it.
    #[serde(default)]
    pub doors: Vec<DoorNow>,
    /// Bells; one left out is on its trunk.
    #[serde(default)]
    pub bells: Vec<BellNow>,
    /// What goes with the people if they have to leave in the evacuation unit.
    #[serde(default)]
    pub evacuation: EvacuationNow,
    /// What was used so far, where it was metered.
    #[serde(default)]
    pub used: UsedFile,
    /// Divers' time in the water so far, all together.
    #[serde(default)]
    pub in_water: Option<Duration>,
    /// Relative error of what was metered.
    #[serde(default = "of_a_meter")]
    pub error: Share,
    /// Error of a bank's gauge.
    #[serde(default = "of_a_gauge")]
    pub gauge_error: Gauge,
    /// When the next supply boat comes, since the start of the job.
    #[serde(default)]
    pub boat: Option<Duration>,
}

/// A bank's gauge.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BankNow {
    /// Name as painted.
    pub name: String,
    /// What its gauge shows.
    pub gauge: Gauge,
    /// Temperature of its bottles; as at the start where not given.
    #[serde(default)]
    pub temperature: Option<Temperature>,
    /// What was taken on into it since the start, m3 of free gas.
    #[serde(default)]
    pub taken_on: Option<Number>,
    /// Oxygen by its last analysis; what lies in it is taken to be that, and as loaded where nothing is said.
    #[serde(default)]
    pub analysis: Option<Share>,
}

/// What a level does.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LevelNow {
    /// Its living chamber.
    pub chamber: String,
    /// What it does.
    pub phase: PhaseNow,
}

/// What a level does, and its place in that.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub enum PhaseNow {
    /// At surface pressure: not pressed yet, or up again.
    Surface,
    /// Being pressed.
    BlowDown {
        /// Depth that it left.
        #[serde(default = "the_surface")]
        from: Depth,
        /// Depth that it goes to.
        to: Depth,
    },
    /// Held at a depth.
    Storage(Depth),
    /// Coming up; its place follows from the depth it left and when it left.
    Decompression {
        /// Depth that it left.
        from: Depth,
        /// When it left, vessel time or since the start of the job.
        began: String,
        /// Depth that it comes up to; the surface where nothing is said.
        #[serde(default = "the_surface")]
        to: Depth,
    },
}

/// What instruments show of a compartment.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CompartmentNow {
    /// Name as on the panel.
    pub name: String,
    /// Depth by its gauge.
    pub depth: Depth,
    /// Oxygen by its analyser.
    pub ppo2: Partial,
    /// Carbon dioxide by its analyser; none where nothing is said.
    #[serde(default)]
    pub ppco2: Option<Partial>,
    /// Nitrogen, where it was measured.
    #[serde(default)]
    pub ppn2: Option<Partial>,
    /// Temperature of its gas.
    pub temperature: Temperature,
    /// Relative humidity; 50 % where nothing is said.
    #[serde(default)]
    pub humidity: Option<Share>,
    /// Hours that the canister in use has run; none where nothing is said.
    #[serde(default)]
    pub absorbent: Option<Duration>,
}

/// Where a diver is.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DiverNow {
    /// Initials.
    pub initials: String,
    /// The compartment he is in, or `"deck"`.
    pub at: String,
    /// His oxygen so far, where it is known.
    #[serde(default)]
    pub dose: Option<DoseNow>,
}

/// Oxygen that a diver has had so far.
#[derive(Clone, Copy, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DoseNow {
    /// Units of pulmonary toxicity (UPTD).
    pub uptd: Number,
    /// Share of the single-exposure limit of the nervous system (CNS).
    pub cns: Share,
}

/// How a door stands.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DoorNow {
    /// Its name.
    pub name: String,
    /// Whether it is open.
    pub open: bool,
}

/// Where a bell is.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BellNow {
    /// Its name.
    pub name: String,
    /// Where it is.
    #[serde(default)]
    pub at: BellAt,
    /// The run of the plan that it makes next, counted from 1; the first that is planned from now on where nothing is
    /// said.
    #[serde(default)]
    pub next_run: Option<u32>,
}

/// What goes with the people if they have to leave in the evacuation unit.
#[derive(Clone, Debug, Default, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct EvacuationNow {
    /// The compartment; the first rescue chamber of the spread where nothing is said, or else the first living chamber.
    pub unit: Option<String>,
    /// How many people; those under pressure where nothing is said.
    pub people: Option<u8>,
    /// Banks that go with it; none where nothing is said.
    pub banks: Vec<String>,
    /// Absorbent that goes with it, beside what is in its canister.
    pub absorbent: Option<Mass>,
    /// Gas volume of the lock by which stores are passed in.
    pub lock: Option<Volume>,
    /// Runs of that lock a day.
    pub lock_runs: Option<Number>,
    /// Heating that goes with it; none where nothing is said.
    pub heater: Option<Power>,
    /// What surrounds it; the spread's deck where nothing is said.
    pub outside: Option<Temperature>,
}

/// Where a bell is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum BellAt {
    /// Mated to its trunk.
    #[default]
    OnTrunk,
    /// On a run.
    Away,
}

/// What was used so far, m3 of free gas each.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct UsedFile {
    /// Breathed by divers in the water, whether it came back or not.
    pub breathed: Option<Number>,
    /// Brought back by reclaim.
    pub reclaimed: Option<Number>,
    /// Drawn to hold depth.
    pub make_up: Option<Number>,
    /// Oxygen drawn.
    pub oxygen: Option<Number>,
    /// Leaked from the steel, where it was found out.
    pub leaked: Option<Number>,
}

fn the_surface() -> Depth {
    Depth(0.0)
}

fn of_a_meter() -> Share {
    Share(METER_ERROR)
}

fn of_a_gauge() -> Gauge {
    Gauge(GAUGE_ERROR_PA)
}
