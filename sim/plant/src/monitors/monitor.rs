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

impl Watched {
    /// A number that no other thing watched has: numbers are compared sooner.
    pub(crate) fn number(self) -> u64 {
        let of =
            |kind: u64, what: usize, which: usize| kind << 48 | (which as u64) << 24 | what as u64;
        match self {
            Watched::Shown(k) => of(0, k.index(), 0),
            Watched::True(at, quantity) => of(1, at.index(), quantity as usize),
            Watched::Flooded(at) => of(2, at.index(), 0),
            Watched::ShortOfSea(at) => of(3, at.index(), 0),
            Watched::Breath(line, what) => {
                let kind = match line {
                    LineName::Supply(_) => 4,
                    LineName::Oxygen(_) => 5,
                    LineName::Bibs(_) => 6,
                    LineName::DiverMain(_) => 7,
                    LineName::DiverSecondary(_) => 8,
                };
                of(kind, line.compartment().index(), what as usize)
            }
        }
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_thing_watched_has_a_number_of_its_own() {
        let mut things = Vec::new();
        for k in 0..300u16 {
            things.push(Watched::Shown(InstrumentId(k)));
        }
        for at in (0..16).map(CompartmentId) {
            for quantity in [
                Quantity::Depth,
                Quantity::PpO2,
                Quantity::FO2,
                Quantity::PpCo2,
                Quantity::Temperature,
                Quantity::Humidity,
                Quantity::GaugePressure,
                Quantity::SeaDepth,
            ] {
                things.push(Watched::True(at, quantity));
            }
            things.push(Watched::Flooded(at));
            things.push(Watched::ShortOfSea(at));
            for line in LineName::of(at) {
                for what in [Breath::PpO2, Breath::PpCo2, Breath::Over] {
                    things.push(Watched::Breath(line, what));
                }
            }
        }
        let numbers: std::collections::BTreeSet<u64> = things.iter().map(|w| w.number()).collect();
        assert_eq!(numbers.len(), things.len());
    }
}
