//! How the automatic watch answers what it is asked for: by the board between the stations and by the lamps. What it
//! does not grant it gives a reason for.

use deepstay_core::record::{Because, Request};
use deepstay_core::units::*;
use deepstay_plant::Positions;
use deepstay_scenario::Scenario;

/// What is known at the other station.
pub struct Board<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// What the stations told each other.
    pub board: &'a crate::stations::Board,
    /// Lamps and handles.
    pub lamps: Positions<'a>,
    /// Whether anybody is in a bell, or out of it.
    pub manned: &'a dyn Fn(CompartmentId) -> bool,
    /// Significant wave height, m.
    pub hs_m: f64,
    /// The second.
    pub now_s: i64,
}

/// Whether it is granted.
///
/// # Errors
/// Why it has to wait.
pub fn granted(request: Request, known: &Board) -> Result<(), Because> {
    match request {
        Request::Transfer(_) => {
            let bells = &known.board.bells;
            let open = |bell| known.lamps.mated(bell) && known.is_open(bell);
            if bells.iter().any(|word| open(word.bell)) {
                Ok(())
            } else if bells.iter().any(|word| known.lamps.mated(word.bell)) {
                Err(Because::TrunkShut)
            } else {
                Err(Because::BellAway)
            }
        }
        Request::Mate(bell) => match known.lamps.mated(bell) {
            true => Err(Because::BellHome),
            // Where it stands at the deck it is being mated anyway.
            false if known.lamps.winch(bell, known.now_s).1 <= 0.0 => Ok(()),
            false => Err(Because::BellAway),
        },
        Request::Lower(bell) => Err(match () {
            () if !known.lamps.mated(bell) => Because::BellAway,
            () if known.hs_m > known.scenario.site.launch_limit_hs_m => Because::Sea,
            () if known.board.levels.iter().any(|level| !level.held) => Because::LevelMoves,
            () => Because::Plan,
        }),
        Request::Recall(bell) => {
            let is_out = !known.lamps.mated(bell) || (known.manned)(bell);
            is_out.then_some(()).ok_or(Because::BellHome)
        }
        Request::Pressure(c) => Err(match known.level(&[c]) {
            Some(level) if !known.board.levels[level].held => Because::LevelMoves,
            _ => Because::Kept,
        }),
        Request::Door(door) => {
            let plate = &known.scenario.steel.doors[door.index()];
            known.level_allows(
                &[Some(plate.a), plate.b]
                    .into_iter()
                    .flatten()
                    .collect::<Vec<_>>(),
            )
        }
        Request::Lock(lock) => {
            let beside: Vec<CompartmentId> = known.scenario.steel.neighbours(lock).collect();
            known.level_allows(&beside)
        }
    }
}

impl Board<'_> {
    /// Whether bell, trunk and a chamber are open to each other.
    fn is_open(&self, bell: CompartmentId) -> bool {
        let steel = &self.scenario.steel;
        let Some(trunk) = steel.compartments[bell.index()].bell.map(|b| b.trunk) else {
            return false;
        };
        let doors = || (0u8..).map(DoorId).zip(&steel.doors);
        let hatch = doors()
            .filter(|(_, d)| d.joins(bell, trunk))
            .any(|(id, _)| self.lamps.door_open(id));
        let chamber = doors()
            .filter(|(_, d)| d.touches(trunk) && !d.joins(bell, trunk))
            .any(|(id, _)| self.lamps.door_open(id));
        hatch && chamber
    }

    /// The level of the plan that any of some vessels belongs to.
    fn level(&self, of: &[CompartmentId]) -> Option<usize> {
        let mut levels = self.scenario.plan.levels.iter();
        levels.position(|level| level.members.iter().any(|m| of.contains(m)))
    }

    fn level_allows(&self, of: &[CompartmentId]) -> Result<(), Because> {
        let Some(word) = self.level(of).map(|level| &self.board.levels[level]) else {
            return Ok(());
        };
        match () {
            () if !word.held => Err(Because::LevelMoves),
            () if word.washes_until_s > self.now_s => Err(Because::Washing),
            () => Ok(()),
        }
    }
}
