//! What a rule set holds, and the answers it gives the watch.

use serde::{Deserialize, Serialize};

/// How a figure came to us.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
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

/// Where a figure comes from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Document, edition, table or paragraph.
    pub document: String,
    /// How it came to us.
    pub status: Status,
}

impl Default for Source {
    /// No source at all; a rule that keeps it does not load.
    fn default() -> Self {
        Source {
            document: String::new(),
            status: Status::Recalled,
        }
    }
}

impl std::fmt::Display for Status {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Status::Seen => "seen",
            Status::SecondHand => "second-hand",
            Status::Recalled => "recalled",
            Status::Derived => "derived",
            Status::HouseRule => "house rule",
        })
    }
}

/// What a chamber is pressed with on a leg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PressGas {
    /// Air, to establish oxygen.
    Air,
    /// The mix the scenario lines up; the rule may name its oxygen fraction (see [`CompressionPlan::mix_o2`]).
    Mix,
    /// Helium (or the leanest mix on board) once oxygen is established.
    Helium,
}

/// One leg of a compression: at this rate to this depth, then hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PressLeg {
    /// Depth to reach, msw.
    pub to_msw: f64,
    /// Greatest rate, msw/s.
    pub rate_msw_s: f64,
    /// Hold on arrival, s.
    pub hold_s: i64,
    /// Whether the hold is a leak check.
    pub leak_check: bool,
    /// What to press with.
    pub gas: PressGas,
}

/// How a chamber is pressed.
#[derive(Clone, Debug, PartialEq)]
pub struct CompressionPlan {
    /// The legs in order; the last ends at storage depth.
    pub legs: Vec<PressLeg>,
    /// Oxygen partial pressure to land on, bar.
    pub ppo2_bar: f64,
    /// Oxygen fraction of the pressing mix that the rule names, if it names one.
    pub mix_o2: Option<f64>,
    /// Where the rates come from.
    pub source: Source,
    /// Ids of every row used.
    pub rows: Vec<String>,
}

/// One step of a decompression: leave for `to_msw` at `start_s`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DecompressionStep {
    /// Seconds after the start of the decompression at which the step begins.
    pub start_s: i64,
    /// Depth to be at, msw.
    pub to_msw: f64,
    /// Seconds by which it should be there (next step's start or the step's own travel).
    pub by_s: i64,
}

/// A whole decompression as a timetable from a depth and a clock.
#[derive(Clone, Debug, PartialEq)]
pub struct DecompressionPlan {
    /// The steps in order; the last goes to 0 msw.
    pub steps: Vec<DecompressionStep>,
    /// Seconds from start to surface.
    pub total_s: i64,
    /// Oxygen to hold by depth.
    pub oxygen: Vec<OxygenBand>,
    /// Where the rates come from.
    pub source: Source,
    /// Ids of every row used.
    pub rows: Vec<String>,
}

/// Oxygen to hold while at or deeper than a depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OxygenBand {
    /// From this depth down, msw.
    pub deeper_than_msw: f64,
    /// What to hold.
    pub hold: OxygenHold,
}

/// What is held. Where low equals high the document names one value; the control band is the watch's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OxygenHold {
    /// Partial pressure between low and high, bar.
    Partial {
        /// Lower edge, bar.
        low_bar: f64,
        /// Upper edge, bar.
        high_bar: f64,
    },
    /// Fraction between low and high.
    Fraction {
        /// Lower edge.
        low: f64,
        /// Upper edge.
        high: f64,
    },
}

/// How grave it is to be past a limit.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
pub enum LimitKind {
    /// The watch looks and acts; the job is not out of limits by it.
    Attention,
    /// Out of limits.
    Limit,
    /// People act at once (masks on).
    Emergency,
}

/// Alarm and action limits for a chamber in a phase; none where the set has no figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Id of the row it comes from.
    pub id: String,
    /// Which quantity, in its plain unit.
    pub quantity: crate::units::Quantity,
    /// High or low side.
    pub side: crate::record::Side,
    /// Value in the quantity's unit.
    pub value: f64,
    /// How grave it is.
    pub kind: LimitKind,
    /// How long it must stand before it counts, s; zero: at once.
    pub stands_s: i64,
    /// What it is called, in plain words.
    pub label: String,
    /// Where it comes from.
    pub source: Source,
}

/// Oxygen to keep in storage.
#[derive(Clone, Debug, PartialEq)]
pub struct StorageOxygen {
    /// Lower edge, bar.
    pub low_bar: f64,
    /// Upper edge, bar.
    pub high_bar: f64,
    /// Id of the row used.
    pub id: String,
    /// Where it comes from.
    pub source: Source,
}

/// A change of storage depth.
#[derive(Clone, Debug, PartialEq)]
pub enum StorageChange {
    /// Nothing to do.
    None,
    /// Deeper.
    Press(CompressionPlan),
    /// Shallower.
    Bleed(DecompressionPlan),
}

/// How a decompression may start.
#[derive(Clone, Debug, PartialEq)]
pub struct StartRule {
    /// Whether it may start with an upward excursion.
    pub upward_excursion: bool,
    /// Travel rate of that excursion, msw/s.
    pub travel_msw_s: Option<f64>,
    /// Hold after it where storage is at or shallower than the depth: (msw, s).
    pub hold: Option<(f64, i64)>,
    /// Hold before a decompression that follows an excursion dive, s.
    pub hold_after_dive_s: i64,
    /// Id of the row used.
    pub id: String,
    /// Where it comes from.
    pub source: Source,
}

/// How far a diver may go from storage without a time limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Excursion {
    /// Storage depth, msw.
    pub storage_msw: f64,
    /// Furthest depth on the side asked for, msw.
    pub limit_msw: f64,
    /// Greatest rate of travel, msw/s, where the set has one.
    pub travel_msw_s: Option<f64>,
    /// Ids of every row used.
    pub rows: Vec<String>,
    /// Where the limit comes from.
    pub source: Source,
}

/// Temperature and humidity to keep.
#[derive(Clone, Debug, PartialEq)]
pub struct ClimateBand {
    /// Lower edge, K.
    pub low_k: f64,
    /// Set point (middle of the band), K.
    pub set_k: f64,
    /// Upper edge, K.
    pub high_k: f64,
    /// How far past an edge the temperature may be, K.
    pub tolerance_k: f64,
    /// Relative humidity, lower and upper edge, 0 to 1, where the set has it.
    pub humidity: Option<(f64, f64)>,
    /// Ids of every row used.
    pub rows: Vec<String>,
    /// Where the band comes from.
    pub source: Source,
}

/// When absorbent is changed.
#[derive(Clone, Debug, PartialEq)]
pub struct AbsorbentChange {
    /// ppCO2, bar.
    pub ppco2_bar: f64,
    /// How long it must have stood at or over that, s.
    pub stood_s: i64,
    /// Id of the row used.
    pub id: String,
    /// Where it comes from.
    pub source: Source,
}

/// An interval of the watch's routine.
#[derive(Clone, Debug, PartialEq)]
pub struct Interval {
    /// Seconds between two.
    pub every_s: i64,
    /// Id of the row used.
    pub id: String,
    /// Where it comes from.
    pub source: Source,
}

/// Ear drops and washing.
#[derive(Clone, Debug, PartialEq)]
pub struct Hygiene {
    /// Ear drops, times a day.
    pub ear_drops_per_day: u8,
    /// Time for each ear, s.
    pub per_ear_s: i64,
    /// Washing, times a day.
    pub wash_per_day: u8,
    /// Whether also after each dive.
    pub wash_after_dive: bool,
    /// Id of the row used.
    pub id: String,
    /// Where it comes from.
    pub source: Source,
}

/// A flow per person.
#[derive(Clone, Debug, PartialEq)]
pub struct PersonFlow {
    /// Free gas, m3/s; the reference is the document's.
    pub m3_s: f64,
    /// Id of the row used.
    pub id: String,
    /// Where it comes from.
    pub source: Source,
}

/// Longer time in the water for a three-man bell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ThreeManBell {
    /// Time in the water, break counted, s.
    pub in_water_s: i64,
    /// Break in the bell with the hat off, s.
    pub break_s: i64,
    /// The break falls between these seconds of the time in the water.
    pub break_between_s: (i64, i64),
    /// A dry day as bellman at least every so many days.
    pub bellman_every_days: u8,
}

/// Bell run, water and rest by a set at a depth. A figure that the set does not have is none.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkingTime {
    /// Longest bell run, s.
    pub bell_run_s: Option<i64>,
    /// What starts and stops the bell-run clock.
    pub clock: String,
    /// Longest time in the water in a run, s.
    pub in_water_s: Option<i64>,
    /// The window in which the time in the water is counted, s.
    pub in_water_window_s: Option<i64>,
    /// Longer water time for a three-man bell.
    pub three_man: Option<ThreeManBell>,
    /// Rest between runs, s.
    pub rest_s: Option<i64>,
    /// Bell runs a day.
    pub runs_per_day: Option<u8>,
    /// Ids of every row used.
    pub rows: Vec<String>,
    /// Where it comes from.
    pub source: Source,
}

/// What is counted as the length of a saturation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub enum Counted {
    /// From leaving the surface to reaching it.
    UnderPressure,
    /// Time at working depth.
    AtDepth,
}

/// Days under pressure and at the surface.
#[derive(Clone, Debug, PartialEq)]
pub struct SaturationLength {
    /// Longest, s.
    pub longest_s: i64,
    /// What is counted.
    pub counted: Counted,
    /// Most in any twelve months, s.
    pub per_year_s: Option<i64>,
    /// Surface interval, where the set has a rule.
    pub interval: Option<SurfaceInterval>,
    /// Ids of every row used.
    pub rows: Vec<String>,
    /// Where it comes from.
    pub source: Source,
}

/// The time at the surface between two saturations.
#[derive(Clone, Debug, PartialEq)]
pub enum SurfaceInterval {
    /// At least so many times the saturation before.
    TimesLast(f64),
    /// At least these seconds: the first where the saturation before was no longer than its first number, else the second.
    Steps {
        /// Length of the saturation before that divides the two, s.
        up_to_s: i64,
        /// Interval up to it, s.
        then_s: i64,
        /// Interval past it, s.
        else_s: i64,
    },
}

impl SaturationLength {
    /// Least time at the surface after a saturation of this length, s.
    pub fn interval_after_s(&self, saturation_s: i64) -> Option<i64> {
        self.interval.as_ref().map(|rule| match *rule {
            SurfaceInterval::TimesLast(times) => (saturation_s as f64 * times).ceil() as i64,
            SurfaceInterval::Steps {
                up_to_s,
                then_s,
                else_s,
            } => {
                if saturation_s <= up_to_s {
                    then_s
                } else {
                    else_s
                }
            }
        })
    }
}
