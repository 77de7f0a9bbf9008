//! Room in which steps are worked out: one for the whole plant, so that nothing is allocated in the loop.

use crate::flows::flow::Flows;
use crate::layout::Layout;
use crate::pressure::constraint::Constraint;
use crate::pressure::passage::Passage;
use crate::pressure::stage::StageContents;
use crate::pressure::valve::{Shares, Valves};
use crate::state::banks::{BankGas, BanksAt};
use crate::state::node::{Flow, Node, Rates};
use crate::steel::{MAX_BANKS, MAX_COMPARTMENTS, MAX_EDGES};
use deepstay_core::units::BankId;

/// Flows by compartment, at the start and at the points.
#[derive(Clone, Debug)]
pub(crate) struct StageFlows {
    /// At the start.
    pub start: [Flows; MAX_COMPARTMENTS],
    /// At the points.
    pub points: [[Flows; 3]; MAX_COMPARTMENTS],
}

/// Rates by compartment.
#[derive(Clone, Debug, Default)]
pub(crate) struct StageRates {
    /// At the start.
    pub start: [Rates; MAX_COMPARTMENTS],
    /// At the points, without what keeps one pressure.
    pub free: [[Rates; 3]; MAX_COMPARTMENTS],
    /// At the points, with it.
    pub total: [[Rates; 3]; MAX_COMPARTMENTS],
}

/// What passes along edges.
#[derive(Clone, Debug)]
pub(crate) struct StageEdges {
    /// How the two sides hang together.
    pub passage: [Passage; MAX_EDGES],
    /// Share of a's contents to b and of b's to a at the start, 1/s.
    pub start: [(f64, f64); MAX_EDGES],
    /// The same at the points.
    pub points: [Shares; MAX_EDGES],
    /// Net flow at the points, without what keeps one pressure, mol/s.
    pub free: [Flow; MAX_EDGES],
    /// And with it.
    pub total: [Flow; MAX_EDGES],
}

/// What lies in banks.
#[derive(Clone, Debug)]
pub(crate) struct StageBanks {
    /// Those lined up, as bits.
    pub used: u32,
    /// What their gas is like, over the whole step.
    pub gas: [BankGas; MAX_BANKS],
    /// Moles at the start.
    pub start: [f64; MAX_BANKS],
    /// And at the points.
    pub points: [[f64; MAX_BANKS]; 3],
    /// How long those who breathe from them can go on as at the start, s.
    pub last_s: f64,
}

impl StageBanks {
    /// The banks with so many moles in each.
    pub fn at<'a>(&'a self, mol: &'a [f64; MAX_BANKS]) -> BanksAt<'a> {
        BanksAt {
            gas: &self.gas,
            mol,
        }
    }

    /// A bank's gas, and how much there is at a point.
    pub fn at_point(&self, j: usize, bank: BankId) -> (BankGas, f64) {
        (self.gas[bank.index()], self.points[j][bank.index()])
    }
}

/// The room, by compartment, edge and bank of the whole plant; a step uses its cluster's.
#[derive(Clone, Debug)]
pub(crate) struct Room {
    /// The cluster.
    pub layout: Layout,
    /// Second at which the step starts.
    pub start_s: f64,
    /// States at the start.
    pub nodes: [Node; MAX_COMPARTMENTS],
    /// What the gas is like.
    pub contents: StageContents,
    /// What flows.
    pub flows: StageFlows,
    /// What that changes.
    pub rates: StageRates,
    /// What passes between.
    pub edges: StageEdges,
    /// What lies in banks.
    pub banks: StageBanks,
    /// Bells in the sea, over the whole step.
    pub in_sea: [bool; MAX_COMPARTMENTS],
    /// What keeps one pressure.
    pub constraint: Constraint,
    /// Valves near equal pressures.
    pub valves: Valves,
}

impl Default for Room {
    fn default() -> Self {
        Room {
            layout: Layout::default(),
            start_s: 0.0,
            nodes: Default::default(),
            contents: StageContents::default(),
            flows: StageFlows {
                start: std::array::from_fn(|_| Flows::default()),
                points: std::array::from_fn(|_| std::array::from_fn(|_| Flows::default())),
            },
            rates: StageRates::default(),
            edges: StageEdges {
                passage: [Passage::default(); MAX_EDGES],
                start: [(0.0, 0.0); MAX_EDGES],
                points: [[(0.0, 0.0); 3]; MAX_EDGES],
                free: [Flow::default(); MAX_EDGES],
                total: [Flow::default(); MAX_EDGES],
            },
            banks: StageBanks {
                used: 0,
                gas: [BankGas::default(); MAX_BANKS],
                start: [0.0; MAX_BANKS],
                last_s: f64::INFINITY,
                points: [[0.0; MAX_BANKS]; 3],
            },
            in_sea: Default::default(),
            constraint: Constraint::default(),
            valves: Valves::default(),
        }
    }
}
