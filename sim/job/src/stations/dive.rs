//! Dive control: the seat that runs the bells.

use super::banks::Banks;
use super::bell::BellState;
use super::board::Board;
use super::context::{Kit, Look};
use super::handover::Handover;
use super::panel::{Desk, Panel, Seat};
use deepstay_core::record::Seat as Who;
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// The seat. Its state can be saved; after a restore [`DiveControl::attach`] gives it its papers.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct DiveControl {
    #[serde(skip)]
    kit: Option<Arc<Kit>>,
    bells: Vec<BellState>,
    banks: Banks,
    handover: Handover,
}

impl DiveControl {
    /// Takes the seat at the start of a scenario.
    pub fn new(scenario: &Arc<Scenario>) -> DiveControl {
        let kit = Kit::new(Arc::clone(scenario));
        let bells = (0..kit.layout.bells.len()).map(BellState::new).collect();
        DiveControl {
            kit: Some(kit),
            bells,
            banks: Banks::default(),
            handover: Handover::default(),
        }
    }

    /// Gives the seat its papers again after a restore.
    pub fn attach(&mut self, scenario: &Arc<Scenario>) {
        self.kit = Some(Kit::new(Arc::clone(scenario)));
    }
}

impl Seat for DiveControl {
    fn act(&mut self, panel: &dyn Panel, board: &mut Board, desk: &mut Desk) {
        let Some(kit) = self.kit.clone() else { return };
        let mut look = Look {
            kit: &kit,
            panel,
            board,
            desk,
            now: panel.now(),
        };
        for bell in &mut self.bells {
            bell.act(&mut look, &mut self.banks);
        }
        self.handover.act(&mut look, Who::Dive, None);
    }
}
