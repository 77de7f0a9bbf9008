//! Saturation control: the seat that keeps the chambers. It goes through its sides, then through the
//! routine of the watch.

use super::banks::Banks;
use super::board::Board;
use super::calibrate::Calibrate;
use super::context::{Kit, Look};
use super::daily::Daily;
use super::handover::Handover;
use super::hygiene::{self, Hygiene};
use super::locks::LockState;
use super::moves::Moves;
use super::panel::{Desk, Panel, Seat};
use super::papers::Papers;
use super::side::SideState;
use deepstay_core::record::Seat as Who;
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// What is kept for one side besides its depth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Routine {
    hygiene: Hygiene,
    calibrate: Calibrate,
    locks: Vec<LockState>,
}

/// The seat. Its state can be saved; after a restore [`SaturationControl::attach`] gives it its papers.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct SaturationControl {
    #[serde(skip)]
    kit: Option<Arc<Kit>>,
    #[serde(skip)]
    papers: Papers,
    sides: Vec<SideState>,
    routine: Vec<Routine>,
    banks: Banks,
    handover: Handover,
    daily: Daily,
    moves: Moves,
}

impl SaturationControl {
    /// Takes the seat at the start of a scenario.
    pub fn new(scenario: &Arc<Scenario>) -> SaturationControl {
        let kit = Kit::new(Arc::clone(scenario));
        let layouts = &kit.layout.sides;
        let sides = layouts
            .iter()
            .enumerate()
            .map(|(i, s)| SideState::new(i, s.members.len()))
            .collect();
        let routine = layouts
            .iter()
            .map(|s| Routine {
                hygiene: Hygiene::default(),
                calibrate: Calibrate::default(),
                locks: vec![LockState::default(); s.locks.len()],
            })
            .collect();
        SaturationControl {
            kit: Some(kit),
            papers: Papers::default(),
            sides,
            routine,
            banks: Banks::default(),
            handover: Handover::default(),
            daily: Daily::default(),
            moves: Moves::default(),
        }
    }

    /// Gives the seat its papers again after a restore.
    pub fn attach(&mut self, scenario: &Arc<Scenario>) {
        self.kit = Some(Kit::new(Arc::clone(scenario)));
        self.papers = Papers::default();
    }
}

impl Seat for SaturationControl {
    fn act(&mut self, panel: &dyn Panel, board: &mut Board, desk: &mut Desk) {
        let Some(kit) = self.kit.clone() else { return };
        let mut look = Look {
            kit: &kit,
            panel,
            board,
            desk,
            now: panel.now(),
        };
        for side in &mut self.sides {
            side.act(&mut look, &mut self.banks, &mut self.papers);
        }
        for (i, (side, routine)) in self.sides.iter().zip(&mut self.routine).enumerate() {
            if side.pressed() {
                routine.calibrate.act(&mut look, i);
                routine.hygiene.act(&mut look, i, &mut routine.locks);
            }
            for (state, lock) in routine.locks.iter_mut().zip(&kit.layout.sides[i].locks) {
                state.act(&mut look, lock, side.steady());
            }
        }
        hygiene::tanks(&mut look);
        self.daily.act(&mut look);
        self.moves.act(&mut look, &mut self.banks);
        let status_of = kit.layout.sides.first().map(|s| s.living);
        self.handover.act(&mut look, Who::Saturation, status_of);
    }
}
