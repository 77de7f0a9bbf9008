//! What a monitor is.

use deepstay_core::record::LineName;
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// What a monitor looks at.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Watched {
    /// What an instrument shows.
    Shown(InstrumentId),
    /// The truth of a compartment's quantity.
    True(CompartmentId, Quantity),
    /// The truth of what a breathing line gives.
    Breath(LineName, Breath),
    /// The truth of the water in a bell: the share of it that is under water.
    Flooded(CompartmentId),
    /// How far the gas of a bell is short of the sea's pressure, msw.
    ShortOfSea(CompartmentId),
}

/// What is watched of a breathing line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Breath {
    /// Partial pressure of oxygen, bar.
    PpO2,
    /// Partial pressure of carbon dioxide, bar.
    PpCo2,
    /// What its bank has over what it needs to give a breath, bar: at nothing, and below, the line is dead.
    Over,
}

/// A value that somebody waits for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Monitor {
    /// What it looks at.
    pub watched: Watched,
    /// Met at or above (true) or at or below (false) the value.
    pub above: bool,
    /// The value, in the quantity's unit.
    pub value: f64,
    /// Whose it is; given back when it is met.
    pub owner: u32,
}

impl Monitor {
    /// Whether a value meets it.
    pub fn met(&self, value: f64) -> bool {
        if self.above {
            value >= self.value
        } else {
            value <= self.value
        }
    }
}
