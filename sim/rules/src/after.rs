//! What a document asks of a diver who has surfaced from a saturation: near a chamber, no flight, no height, no effort.

use super::quantities::Duration;
use super::row::Printed;
use super::{All, RuleSet};
use deepstay_core::words::Words;
use serde::Deserialize;

/// What is asked for a time after surfacing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum AfterDemand {
    /// Under observation in the vicinity of a chamber.
    NearChamber,
    /// Therapeutic recompression within reach.
    RecompressionAtHand,
    /// No breath-hold diving and no hard exercise.
    NoEffort,
    /// Not above 500 m, about 50 hPa less.
    NoHeight,
    /// No flight.
    NoFlight,
}

impl AfterDemand {
    /// All, in the order in which they are told.
    pub const ALL: [AfterDemand; 5] = [
        AfterDemand::NearChamber,
        AfterDemand::RecompressionAtHand,
        AfterDemand::NoEffort,
        AfterDemand::NoHeight,
        AfterDemand::NoFlight,
    ];
}

impl Words for AfterDemand {
    fn words(self) -> &'static str {
        match self {
            AfterDemand::NearChamber => "observed near a chamber",
            AfterDemand::RecompressionAtHand => "recompression at hand",
            AfterDemand::NoEffort => "no hard exercise or breath-hold diving",
            AfterDemand::NoHeight => "not above 500 m",
            AfterDemand::NoFlight => "no flight",
        }
    }
}

/// A demand and for how long it holds.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AfterFigures {
    /// What.
    pub what: AfterDemand,
    /// From reaching the surface on.
    pub time: Duration,
}

impl Printed for AfterFigures {
    fn printed(&self) -> String {
        format!("{} for {}", self.what.words(), self.time)
    }
}

impl AfterFigures {
    /// Whether these ask for less than others of the same kind.
    pub(super) fn laxer_than(&self, other: &AfterFigures) -> bool {
        self.what != other.what || self.time.get() < other.time.get()
    }
}

impl RuleSet {
    /// Everything that the set asks after surfacing from a saturation; all of it holds at once.
    pub fn after_surfacing(&self, accepted: &[String]) -> All<AfterFigures> {
        All::of(&self.after_surfacing, accepted)
    }
}
