//! Which vessels people are in, or are to come back to.

use super::super::people::People;
use deepstay_core::record::{BreathingPath, Whereabouts};
use deepstay_core::units::*;
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};

/// Where people are, one bit a compartment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Occupied {
    inside: u32,
    /// Of bells: out of them, in the water.
    out: u32,
    /// The chambers of those who are in the bell or in the water.
    home: u32,
    /// Vessels in which, or out of which, somebody breathes from a line.
    on_lines: u32,
}

impl Occupied {
    /// Looks again; how it was, where anything is otherwise now.
    pub fn look(&mut self, people: &People, scenario: &Scenario) -> Option<Occupied> {
        let mut now = Occupied::default();
        for diver in people.crew.ids() {
            let at = match people.crew.whereabouts(diver) {
                Whereabouts::Deck => continue,
                Whereabouts::In(c) => {
                    now.inside |= bit(c);
                    c
                }
                Whereabouts::Water(bell) => {
                    now.out |= bit(bell);
                    bell
                }
            };
            now.home |= bit(scenario.crew[diver.index()].chamber);
            if people.crew.path(diver) != BreathingPath::Ambient {
                now.on_lines |= bit(at);
            }
        }
        let before = std::mem::replace(self, now);
        (before != now).then_some(before)
    }

    /// Whether people are in a vessel, or are to come back to it.
    pub fn keeps(&self, c: CompartmentId) -> bool {
        (self.inside | self.out | self.home) & bit(c) != 0
    }

    /// Whether people are in a vessel, or out of it in the water.
    pub fn uses(&self, c: CompartmentId) -> bool {
        (self.inside | self.out) & bit(c) != 0
    }

    /// Whether somebody in a vessel, or out of it, breathes from a line.
    pub fn on_lines(&self, c: CompartmentId) -> bool {
        self.on_lines & bit(c) != 0
    }

    /// Whether anybody is under pressure, or shut in.
    pub fn any(&self) -> bool {
        self.inside | self.out != 0
    }
}

/// A vessel as one bit.
pub(super) fn bit(c: CompartmentId) -> u32 {
    1 << c.index()
}
