//! Sources, and the answers a rule set gives about pressure and oxygen: plans, bands and limits.

use deepstay_core::Status;
use serde::{Deserialize, Serialize};

/// Where a figure comes from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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

/// Alarm and action limits for a chamber in a phase; none where the set has no figure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Limit {
    /// Id of the row it comes from.
    pub id: String,
    /// Which quantity, in its plain unit.
    pub quantity: deepstay_core::units::Quantity,
    /// Inside the vessel, breathed, or the rate of the quantity.
    pub aspect: deepstay_core::record::Aspect,
    /// High or low side.
    pub bound: deepstay_core::record::Bound,
    /// Value in the quantity's unit; of a rate, in a minute, upwards below zero.
    pub value: f64,
    /// How grave it is.
    pub severity: deepstay_core::record::Severity,
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
