//! Room in which steps are worked out: one for the whole plant, so that nothing is allocated in the loop.

use super::course::Flow;
use super::frozen::{Frozen, Rates};
use super::level::{Outside, Tree};
use super::radau::Coupled;
use super::state::Node;
use crate::plant::{MAX_BANKS, MAX_COMPARTMENTS, MAX_EDGES};

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
    /// Net flow a to b that keeps one pressure, and flow out of a compartment that does, mol/s.
    pub level: [[f64; 3]; MAX_EDGES],
    pub out: [[f64; 3]; MAX_COMPARTMENTS],
    pub outside: [Outside; MAX_COMPARTMENTS],
    pub trees: Vec<Tree>,
    pub in_sea: [bool; MAX_COMPARTMENTS],
    pub bank_start: [f64; MAX_BANKS],
    pub bank: [[f64; MAX_BANKS]; 3],
    pub banks_used: u32,
    pub all: Coupled,
    pub co2: Coupled,
    pub h2o: Coupled,
    pub heat: Coupled,
    pub extra_co2: bool,
    pub extra_h2o: bool,
    /// Share of a lone compartment's contents that leaves per second: of most, of carbon dioxide, of water.
    pub alone: [f64; 3],
    /// How fast each gas comes to the temperature of what surrounds it, 1/s.
    pub relaxes: [f64; MAX_COMPARTMENTS],
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
            level: [[0.0; 3]; MAX_EDGES],
            out: Default::default(),
            outside: Default::default(),
            trees: Vec::new(),
            in_sea: Default::default(),
            bank_start: [0.0; MAX_BANKS],
            bank: [[0.0; MAX_BANKS]; 3],
            banks_used: 0,
            all: Coupled::default(),
            co2: Coupled::default(),
            h2o: Coupled::default(),
            heat: Coupled::default(),
            extra_co2: false,
            extra_h2o: false,
            alone: [0.0; 3],
            relaxes: [0.0; MAX_COMPARTMENTS],
        }
    }
}
