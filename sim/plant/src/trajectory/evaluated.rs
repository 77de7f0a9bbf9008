//! States of several compartments at one second, with pressures, and what is left of lags, that are found
//! once at most.

use crate::instruments::lag::Decays;
use crate::state::node::Node;
use crate::steel::MAX_COMPARTMENTS;
use std::cell::Cell;

/// State of a cluster's members at some second after the anchor.
#[derive(Clone, Debug)]
pub(crate) struct Evaluated {
    node: [Node; MAX_COMPARTMENTS],
    /// Pressure of each compartment once somebody has asked for it, Pa; not a number before.
    pressure: [Cell<f64>; MAX_COMPARTMENTS],
    /// The same of the pressure that is felt there.
    felt: [Cell<f64>; MAX_COMPARTMENTS],
    decays: Decays,
}

impl Default for Evaluated {
    fn default() -> Self {
        Evaluated {
            node: [Node::default(); MAX_COMPARTMENTS],
            pressure: [const { Cell::new(f64::NAN) }; MAX_COMPARTMENTS],
            felt: [const { Cell::new(f64::NAN) }; MAX_COMPARTMENTS],
            decays: Decays::default(),
        }
    }
}

impl Evaluated {
    /// Takes a compartment's state.
    pub fn put(&mut self, i: usize, node: Node) {
        self.node[i] = node;
        self.pressure[i].set(f64::NAN);
        self.felt[i].set(f64::NAN);
    }

    /// A compartment's state.
    #[inline]
    pub fn node(&self, i: usize) -> &Node {
        &self.node[i]
    }

    /// What is left of the starts of instruments' lags.
    pub fn decays(&self) -> &Decays {
        &self.decays
    }

    /// Pressure of a compartment, computed by `find` the first time.
    pub fn pressure_pa(&self, i: usize, find: impl FnOnce(&Node) -> f64) -> f64 {
        once(&self.pressure[i], || find(&self.node[i]))
    }

    /// Pressure that is felt in a compartment at the second it was evaluated for, computed by `find` the first time.
    pub fn felt_pa(&self, i: usize, find: impl FnOnce() -> f64) -> f64 {
        once(&self.felt[i], find)
    }
}

fn once(kept: &Cell<f64>, find: impl FnOnce() -> f64) -> f64 {
    if kept.get().is_nan() {
        kept.set(find());
    }
    kept.get()
}
