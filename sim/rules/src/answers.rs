//! The answers a rule set gives about life at depth: excursions, climate, routine, working time and
//! days under pressure.

use super::{MissingRow, Source};
use deepstay_core::words::Words;
use serde::{Deserialize, Serialize};

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

/// The row that a figure of an answer comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Cited {
    /// Its id.
    pub id: String,
    /// Its figures as printed.
    pub figures: String,
    /// Where they come from.
    pub source: Source,
}

/// A moment of a bell run at which a document starts or stops a clock, in order of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum RunMoment {
    /// The check sheet is begun.
    Checks,
    /// The divers are sealed in.
    SealedIn,
    /// The clamp is loosened.
    ClampOff,
    /// The bell is clamped to its trunk again.
    ClampedOn,
    /// The trunk is at the chamber's pressure, and divers may go through.
    ReadyToTransfer,
    /// The divers are in their chamber.
    Home,
}

impl Words for RunMoment {
    fn words(self) -> &'static str {
        match self {
            RunMoment::Checks => "the checks",
            RunMoment::SealedIn => "sealed in",
            RunMoment::ClampOff => "the clamp loosened",
            RunMoment::ClampedOn => "clamped on again",
            RunMoment::ReadyToTransfer => "ready to transfer",
            RunMoment::Home => "back in the chamber",
        }
    }
}

/// Bell run, water and rest by a set at a depth. A figure that the set does not have is none.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkingTime {
    /// Longest bell run, s.
    pub bell_run_s: Option<i64>,
    /// What starts and stops the bell-run clock.
    pub clock: String,
    /// The moments of a run from and to which its length counts.
    pub bell_run_counted: (RunMoment, RunMoment),
    /// Longest time in the water in a run, s.
    pub in_water_s: Option<i64>,
    /// The window in which the time in the water is counted, s.
    pub in_water_window_s: Option<i64>,
    /// Longer water time for a three-man bell.
    pub three_man: Option<ThreeManBell>,
    /// Rest between runs, s.
    pub rest_s: Option<i64>,
    /// From which moment of a run to which of the next the rest counts.
    pub rest_between: (RunMoment, RunMoment),
    /// Bell runs a day.
    pub runs_per_day: Option<u8>,
    /// The window in which the longest bell run is counted over all runs, s.
    pub bell_run_window_s: Option<i64>,
    /// Whether the clock runs on when the bell comes home and leaves again with the same divers.
    pub clock_runs_on: bool,
    /// Longest work in any 24 h, s.
    pub work_in_day_s: Option<i64>,
    /// Row of the bell run.
    pub bell_run_by: Option<Cited>,
    /// Row of the time in the water.
    pub in_water_by: Option<Cited>,
    /// Row of the rest.
    pub rest_by: Option<Cited>,
    /// Where no row of the bell run may be used: those that stand in the way; none where the set says nothing.
    pub no_bell_run: Vec<MissingRow>,
    /// The same of the time in the water.
    pub no_in_water: Vec<MissingRow>,
    /// The same of the rest.
    pub no_rest: Vec<MissingRow>,
    /// Ids of every row used.
    pub rows: Vec<String>,
    /// Where it comes from.
    pub source: Source,
}

/// Who goes in a bell, and who stays in it.
#[derive(Clone, Debug, PartialEq)]
pub struct BellCrew {
    /// At least so many go.
    pub least: u8,
    /// At least so many stay in the bell while divers are in the water.
    pub stay: u8,
    /// The row.
    pub by: Cited,
}

/// What is counted as the length of a saturation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    /// Row of the length.
    pub longest_by: Cited,
    /// Row of the interval.
    pub interval_by: Option<Cited>,
    /// Where no row of the interval may be used: those that stand in the way; none where the set says nothing.
    pub no_interval: Vec<MissingRow>,
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
