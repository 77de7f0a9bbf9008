//! The board between the two stations: what each level of the system is doing and what each bell
//! wants of it. The job keeps it; both stations read and write it.

use deepstay_core::record::Phase;
use deepstay_core::units::*;
use deepstay_plant::{Positions, Steel};
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};

/// What saturation control says of a level (a set of chambers at one depth).
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LevelWord {
    /// What it is doing.
    pub phase: Phase,
    /// The depth it is meant to have, msw.
    pub target_msw: f64,
    /// The chamber in which its people are kept: its living chamber, as long as that holds.
    pub home: CompartmentId,
    /// A loss of depth called its people together, and not every chamber has been joined to theirs again.
    pub called_in: bool,
    /// The gauge its depth is read by where others contradict the first.
    pub by_gauge: Option<InstrumentId>,
    /// It is held: no pressing, bleeding or emergency under way.
    pub held: bool,
    /// It has no step left and is at the surface.
    pub surfaced: bool,
    /// It waits for the bell to come home and be shut off, so that it can leave its depth.
    pub wants_bell_away: bool,
    /// Somebody's shower runs until then: no door is shut on its steam.
    pub washes_until_s: i64,
    /// Gas that went down the drain with showers and toilets so far, as depth of the level, by the plates: what is made
    /// up for it is no sign of a leak, msw.
    pub flushed_msw: f64,
}

/// What dive control says of a bell.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BellWord {
    /// Which bell.
    pub bell: CompartmentId,
    /// A run is under way.
    pub running: bool,
    /// The trunk is open to the chambers, or being made so.
    pub trunk_open: bool,
}

/// The board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Board {
    /// One word per level, in the plan's order.
    pub levels: Vec<LevelWord>,
    /// One word per bell, in the steel's order.
    pub bells: Vec<BellWord>,
}

impl Board {
    /// A clean board for a scenario: everything at the surface.
    pub fn new(scenario: &Scenario) -> Board {
        let bells = (0u8..)
            .zip(&scenario.steel.compartments)
            .filter(|(_, c)| c.kind == CompartmentKind::Bell)
            .map(|(i, _)| BellWord {
                bell: CompartmentId(i),
                running: false,
                trunk_open: false,
            })
            .collect();
        let levels = scenario.plan.levels.iter().map(|level| LevelWord {
            phase: Phase::Surface,
            target_msw: 0.0,
            home: level.members.first().copied().unwrap_or(CompartmentId(0)),
            called_in: false,
            by_gauge: None,
            held: true,
            surfaced: false,
            wants_bell_away: false,
            washes_until_s: 0,
            flushed_msw: 0.0,
        });
        Board {
            levels: levels.collect(),
            bells,
        }
    }

    /// What a person at saturation control says of a chamber, for the level it belongs to.
    pub fn said(
        &mut self,
        scenario: &Scenario,
        compartment: CompartmentId,
        phase: Phase,
        depth_msw: f64,
    ) {
        for (word, level) in self.levels.iter_mut().zip(&scenario.plan.levels) {
            if level.members.contains(&compartment) {
                let was_down = word.phase != Phase::Surface;
                word.surfaced = phase == Phase::Surface && (was_down || word.surfaced);
                word.phase = phase;
                word.target_msw = depth_msw;
                word.held = matches!(phase, Phase::Storage | Phase::Surface);
                word.wants_bell_away = matches!(phase, Phase::Compression | Phase::Decompression);
            }
        }
    }

    /// What the lamps say of the bells, where no station at dive control writes it.
    pub fn see_bells(&mut self, steel: &Steel, lamps: Positions) {
        for word in &mut self.bells {
            let plate = &steel.compartments[word.bell.index()];
            let Some(trunk) = plate.bell.map(|b| b.trunk) else {
                continue;
            };
            let doors = || (0u8..).map(DoorId).zip(&steel.doors);
            let mated = doors()
                .find(|(_, d)| d.clamp && d.touches(word.bell))
                .is_none_or(|(id, _)| lamps.door_clamped(id));
            word.running = !mated;
            word.trunk_open = doors()
                .filter(|(_, d)| !d.clamp && d.b.is_some() && d.touches(trunk))
                .any(|(id, _)| lamps.door_open(id));
        }
    }

    /// Whether every level has been down and is back at the surface.
    pub fn all_surfaced(&self) -> bool {
        !self.levels.is_empty() && self.levels.iter().all(|s| s.surfaced)
    }

    /// Whether any bell is out on a run or has its trunk open.
    pub fn bell_in_the_way(&self) -> bool {
        self.bells.iter().any(|b| b.running || b.trunk_open)
    }
}
