//! Room in which steps are worked out: one for the whole plant, so that nothing is allocated in the loop.

use super::course::Flow;
use super::dense::Dense;
use super::frozen::{Frozen, Rates};
use super::level::{Outside, Tree};
use super::linear::WARM_AND_WET;
use super::radau::Coupled;
use super::state::Node;
use super::valves::Valve;
use crate::{MAX_BANKS, MAX_COMPARTMENTS, MAX_EDGES};
use deepstay_core::gas::{SPECIES, Species};

/// What the balances leave over at the points, then what that changes there.
#[derive(Clone, Debug)]
pub(super) struct Left {
    /// By species and a cluster's member, mol; water lies in `warm`.
    pub n_mol: [[[f64; 3]; MAX_COMPARTMENTS]; SPECIES],
    /// Of every member's gas, K, then of every member's wall, K, then of every member's water, mol.
    pub warm: [[f64; 3]; WARM_AND_WET * MAX_COMPARTMENTS],
}

impl Left {
    /// Nothing is left over by the first members.
    pub fn clear(&mut self, members: usize) {
        for species in &mut self.n_mol {
            species[..members].fill([0.0; 3]);
        }
        self.warm[..WARM_AND_WET * members].fill([0.0; 3]);
    }

    /// A species of a member among so many.
    pub fn species(&mut self, s: usize, row: usize, members: usize) -> &mut [f64; 3] {
        if s == Species::H2o as usize {
            &mut self.warm[2 * members + row]
        } else {
            &mut self.n_mol[s][row]
        }
    }
}

/// The room, by compartment, edge and bank of the whole plant; a step uses its cluster's.
#[derive(Clone, Debug)]
pub(super) struct Bench {
    pub start: [Frozen; MAX_COMPARTMENTS],
    pub start_rates: [Rates; MAX_COMPARTMENTS],
    pub frozen: [[Frozen; 3]; MAX_COMPARTMENTS],
    pub node: [[Node; 3]; MAX_COMPARTMENTS],
    /// Contents at which the flows of the last round were found.
    pub used: [[Node; 3]; MAX_COMPARTMENTS],
    /// Rates without and with what keeps one pressure.
    pub own: [[Rates; 3]; MAX_COMPARTMENTS],
    pub rates: [[Rates; 3]; MAX_COMPARTMENTS],
    pub edge_own: [Flow; MAX_EDGES],
    pub edge: [Flow; MAX_EDGES],
    /// Share of a's contents to b and of b's to a, at the start and at the points, 1/s.
    pub share: [(f64, f64); MAX_EDGES],
    pub point_share: [[(f64, f64); 3]; MAX_EDGES],
    /// Share of each compartment's contents that leaves it for its neighbours at the start, 1/s.
    pub leaves_s: [f64; MAX_COMPARTMENTS],
    /// Net flow a to b that keeps one pressure, and flow out of a compartment that does, mol/s.
    pub level: [[f64; 3]; MAX_EDGES],
    pub out: [[f64; 3]; MAX_COMPARTMENTS],
    pub outside: [Outside; MAX_COMPARTMENTS],
    pub trees: Vec<Tree>,
    pub in_sea: [bool; MAX_COMPARTMENTS],
    pub bank_start: [f64; MAX_BANKS],
    pub bank: [[f64; MAX_BANKS]; 3],
    pub banks_used: u32,
    /// Length of the step whose linear part is at hand, s.
    pub h_s: f64,
    pub left: Left,
    /// What the pressures of each tree answer to moles that pass.
    pub levels: Vec<Dense>,
    /// Valves whose flow answers to what has flowed, and by what share at the points each was put right.
    pub valves: Vec<Valve>,
    pub valve_share: [[f64; 3]; MAX_EDGES],
    pub all: Coupled,
    pub co2: Coupled,
    pub heat: Coupled,
    pub extra_co2: bool,
    /// Share of a lone compartment's contents that leaves per second: of most, of carbon dioxide.
    pub alone: [f64; 2],
}

impl Default for Bench {
    fn default() -> Self {
        Bench {
            start: std::array::from_fn(|_| Frozen::default()),
            start_rates: Default::default(),
            frozen: std::array::from_fn(|_| std::array::from_fn(|_| Frozen::default())),
            node: Default::default(),
            used: Default::default(),
            own: Default::default(),
            rates: Default::default(),
            edge_own: [Flow::default(); MAX_EDGES],
            edge: [Flow::default(); MAX_EDGES],
            share: [(0.0, 0.0); MAX_EDGES],
            point_share: [[(0.0, 0.0); 3]; MAX_EDGES],
            leaves_s: [0.0; MAX_COMPARTMENTS],
            level: [[0.0; 3]; MAX_EDGES],
            out: Default::default(),
            outside: Default::default(),
            trees: Vec::new(),
            in_sea: Default::default(),
            bank_start: [0.0; MAX_BANKS],
            bank: [[0.0; MAX_BANKS]; 3],
            banks_used: 0,
            h_s: 0.0,
            levels: Vec::new(),
            valves: Vec::new(),
            valve_share: [[0.0; 3]; MAX_EDGES],
            left: Left {
                n_mol: [[[0.0; 3]; MAX_COMPARTMENTS]; SPECIES],
                warm: [[0.0; 3]; WARM_AND_WET * MAX_COMPARTMENTS],
            },
            all: Coupled::default(),
            co2: Coupled::default(),
            heat: Coupled::default(),
            extra_co2: false,
            alone: [0.0; 2],
        }
    }
}
