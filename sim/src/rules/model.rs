//! What a rule set holds, and the answers it gives the watch.

use serde::{Deserialize, Serialize};

/// How a figure came to us.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema)]
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

/// A whole rule set. (Under construction: its fields are added by the rules room.)
#[derive(Clone, Debug, PartialEq)]
pub struct RuleSet {
    /// Short name.
    pub name: String,
    /// One line on what it is.
    pub title: String,
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
    /// Index of the source in [`RuleSet`]'s provenance list.
    pub source: Source,
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
    /// Where it comes from.
    pub source: Source,
}

/// Oxygen to hold while at or deeper than a depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OxygenBand {
    /// From this depth down, msw.
    pub deeper_than_msw: f64,
    /// What to hold.
    pub hold: OxygenHold,
}

/// What is held.
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
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Which quantity, in its plain unit.
    pub quantity: crate::units::Quantity,
    /// High or low side.
    pub side: crate::record::Side,
    /// Value in the quantity's unit.
    pub value: f64,
    /// What it is called, in plain words.
    pub label: String,
    /// Where it comes from.
    pub source: Source,
}
