//! Which vessels people are in, or are to come back to.

use super::super::people::People;
use deepstay_core::record::{BreathingLine, LineName, Whereabouts};
use deepstay_core::units::*;
use deepstay_crew::BreathesFrom;
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
    /// The vessels of which each line is breathed from.
    breathed_from: [u32; BreathingLine::ALL.len()],
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
            match people.crew.breathes_from(diver) {
                BreathesFrom::Deck | BreathesFrom::Compartment(_) => {}
                BreathesFrom::BailOut => now.on_lines |= bit(at),
                BreathesFrom::Line(line) => {
                    now.on_lines |= bit(at);
                    now.breathe_from(line);
                }
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

    fn breathe_from(&mut self, line: LineName) {
        let of = |l: &BreathingLine| l.of(line.compartment()) == line;
        if let Some(k) = BreathingLine::ALL.iter().position(of) {
            self.breathed_from[k] |= bit(line.compartment());
        }
    }

    /// The lines of a vessel that somebody breathes from.
    pub fn breathed_lines(&self, c: CompartmentId) -> impl Iterator<Item = BreathingLine> {
        let all = BreathingLine::ALL.into_iter().zip(self.breathed_from);
        all.filter(move |(_, at)| at & bit(c) != 0)
            .map(|(line, _)| line)
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
