//! Loads on the gas that divers breathe, one per compartment and per breathing path; which of them an order has
//! changed; and whose gas a diver breathes.

use deepstay_core::record::{BreathingPath, LineName, Whereabouts};
use deepstay_core::units::CompartmentId;
use deepstay_plant::{Load, MAX_COMPARTMENTS, PathLoad};
use serde::{Deserialize, Serialize};

/// Which loads an order changed, one bit per compartment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Changes {
    rooms: u16,
    bibs: u16,
    main: u16,
    secondary: u16,
}

impl Changes {
    /// Whether anything changed.
    pub fn any(&self) -> bool {
        *self != Changes::default()
    }

    /// Marks what is not the same in both.
    pub(super) fn mark(&mut self, before: &Loads, after: &Loads) {
        for at in 0..MAX_COMPARTMENTS {
            let bit = 1 << at;
            let mark = |bits: &mut u16, changed| *bits |= if changed { bit } else { 0 };
            mark(&mut self.rooms, after.rooms[at] != before.rooms[at]);
            mark(&mut self.bibs, after.bibs[at] != before.bibs[at]);
            mark(&mut self.main, after.main[at] != before.main[at]);
            mark(
                &mut self.secondary,
                after.secondary[at] != before.secondary[at],
            );
        }
    }

    /// Whether the load on a compartment's gas changed.
    pub fn compartment(&self, at: CompartmentId) -> bool {
        has(self.rooms, at)
    }

    /// Whether the load on a breathing path changed.
    pub fn line(&self, line: LineName) -> bool {
        match line {
            LineName::Bibs(at) => has(self.bibs, at),
            LineName::DiverMain(at) => has(self.main, at),
            LineName::DiverSecondary(at) => has(self.secondary, at),
            LineName::Supply(_) | LineName::Oxygen(_) => false,
        }
    }
}

fn has(bits: u16, at: CompartmentId) -> bool {
    at.index() < MAX_COMPARTMENTS && bits & (1 << at.index()) != 0
}

/// Every load as it is now.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Loads {
    pub(super) rooms: [Load; MAX_COMPARTMENTS],
    pub(super) bibs: [PathLoad; MAX_COMPARTMENTS],
    pub(super) main: [PathLoad; MAX_COMPARTMENTS],
    pub(super) secondary: [PathLoad; MAX_COMPARTMENTS],
}

/// What a diver's oxygen comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BreathesFrom {
    /// The air on deck.
    Deck,
    /// The gas of a compartment.
    Compartment(CompartmentId),
    /// A line: masks, or main or secondary gas of a bell.
    Line(LineName),
    /// The bail-out on his back.
    BailOut,
}

pub(super) fn breathes_from(at: Whereabouts, path: BreathingPath) -> BreathesFrom {
    let place = match at {
        Whereabouts::Deck => return BreathesFrom::Deck,
        Whereabouts::In(c) | Whereabouts::Water(c) => c,
    };
    match path {
        BreathingPath::Ambient => BreathesFrom::Compartment(place),
        BreathingPath::Bibs => BreathesFrom::Line(LineName::Bibs(place)),
        BreathingPath::Main => BreathesFrom::Line(LineName::DiverMain(place)),
        BreathingPath::Secondary => BreathesFrom::Line(LineName::DiverSecondary(place)),
        BreathingPath::BailOut => BreathesFrom::BailOut,
    }
}
