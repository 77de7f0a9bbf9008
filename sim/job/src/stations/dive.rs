//! Dive control: the station that runs the bells.

use super::banks::Banks;
use super::bell::BellState;
use super::board::Board;
use super::context::{Kit, Look};
use super::handover::Handover;
use super::panel::{Desk, Panel};
use crate::random::Streams;
use deepstay_core::record::{Machine, Station};
use deepstay_core::units::{CompartmentId, CompartmentKind};
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// The station. Its state can be saved; after a restore [`DiveControl::attach`] gives it the scenario again.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct DiveControl {
    #[serde(skip)]
    kit: Option<Arc<Kit>>,
    bells: Vec<BellState>,
    banks: Banks,
    handover: Handover,
    /// The recovery of trunk and locks has been seen to.
    recovery_set: bool,
    /// Somebody else has sat here since it last looked.
    displaced: bool,
    /// Bells whose recall was granted since it last looked.
    recalled: Vec<CompartmentId>,
}

/// Switches the recovery of trunk, bell and locks on, where it is fitted.
fn recover_trunk_and_locks(look: &mut Look) {
    let steel = &look.kit.scenario.steel;
    if !steel.recovery.is_some_and(|r| r.trunk_and_locks) {
        return;
    }
    for (i, c) in (0u8..).zip(&steel.compartments) {
        if matches!(
            c.kind,
            CompartmentKind::Trunk
                | CompartmentKind::Bell
                | CompartmentKind::MedicalLock
                | CompartmentKind::EquipmentLock
        ) {
            look.switch(CompartmentId(i), Machine::Recovery, true);
        }
    }
}

impl DiveControl {
    /// The station at the start of a scenario.
    pub fn new(scenario: &Arc<Scenario>) -> DiveControl {
        let kit = Kit::new(Arc::clone(scenario));
        let bells = (0..kit.layout.bells.len()).map(BellState::new).collect();
        DiveControl {
            kit: Some(kit),
            bells,
            banks: Banks::default(),
            handover: Handover::new(
                Streams::new(scenario.seed).named("times of handover, dive", 0),
            ),
            recovery_set: false,
            displaced: false,
            recalled: Vec::new(),
        }
    }

    /// Somebody else has sat here: at its next look it finds its feet.
    pub fn displaced(&mut self) {
        self.displaced = true;
    }

    /// The recall of a bell has been granted: at its next look whoever is in it, or out of it, is brought home.
    pub fn recall(&mut self, bell: CompartmentId) {
        self.recalled.push(bell);
    }

    /// The station of a job that is taken up: each bell is found on its trunk, under pressure or not, with the run of
    /// the plan that it makes next.
    pub fn found(scenario: &Arc<Scenario>, bells: &[(bool, usize)]) -> DiveControl {
        let mut station = DiveControl::new(scenario);
        let fresh = std::mem::take(&mut station.bells);
        let found =
            |(bell, &(pressed, next)): (BellState, &(bool, usize))| bell.found(pressed, next);
        station.bells = fresh.into_iter().zip(bells).map(found).collect();
        station
    }

    /// For each bell, the place in the plan of the run that it makes, or makes next.
    pub fn next_runs(&self) -> impl Iterator<Item = usize> + '_ {
        self.bells.iter().map(BellState::next_run)
    }

    /// The runs from a place in the plan's list on are others: each bell looks for its next from there.
    pub fn planned_anew(&mut self, from: usize) {
        for bell in &mut self.bells {
            bell.planned_anew(from);
        }
    }

    /// Gives the station the scenario again after a restore.
    pub fn attach(&mut self, scenario: &Arc<Scenario>) {
        self.kit = Some(Kit::new(Arc::clone(scenario)));
    }

    /// Looks at the panel and acts. It is called at the first whole second at which its `wake_at` is reached
    /// or one of its triggers is met, or when the other station rang.
    pub fn act(&mut self, panel: &dyn Panel, board: &mut Board, desk: &mut Desk) {
        let Some(kit) = self.kit.clone() else { return };
        let mut look = Look::at(&kit, panel, board, desk);
        if !std::mem::replace(&mut self.recovery_set, true) {
            recover_trunk_and_locks(&mut look);
        }
        if std::mem::take(&mut self.displaced) {
            self.banks = Banks::default();
            for bell in &mut self.bells {
                bell.find_its_feet(&mut look);
            }
        }
        let recalled = std::mem::take(&mut self.recalled);
        for bell in &mut self.bells {
            if recalled.contains(&bell.which(&look)) {
                bell.bring_home(&mut look);
            }
        }
        for bell in &mut self.bells {
            bell.act(&mut look, &mut self.banks);
        }
        self.handover.act(&mut look, Station::Dive, None);
    }
}
