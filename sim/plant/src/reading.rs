//! Readings: all that anyone who decides may see of the plant.

use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// What an instrument showed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// Which instrument.
    pub instrument: InstrumentId,
    /// When, s.
    pub at: i64,
    /// What it showed, in the unit of its quantity.
    pub value: f64,
}

/// A reading that somebody waits for: the first whole second at which it is so wakes them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Trigger {
    /// Which instrument.
    pub instrument: InstrumentId,
    /// Wake when the reading is at or above (true) or at or below (false) the value.
    pub above: bool,
    /// The value, in the unit of the instrument's quantity.
    pub value: f64,
}

impl Trigger {
    /// Whether a shown value meets it.
    pub fn met(&self, shown: f64) -> bool {
        if self.above {
            shown >= self.value
        } else {
            shown <= self.value
        }
    }
}
