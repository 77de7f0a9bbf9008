//! What the parts of a rushed second have moved, waiting for the second to be over.

use crate::bits::bits;
use crate::books::account::add;
use crate::books::slot::{SLOTS, Slot};
use crate::solver::interpolant::Weights;
use crate::trajectory::interpolant::{EdgeInterpolant, Interpolant, moved};
use deepstay_core::gas::SPECIES;
use serde::{Deserialize, Serialize};

/// What has moved, by compartment and slot and by edge.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Pending {
    slots: Vec<[[f64; SPECIES]; SLOTS]>,
    /// Which slots did, as bits.
    active: Vec<u32>,
    edges: Vec<[f64; SPECIES]>,
}

impl Pending {
    /// Nothing.
    pub fn new(compartments: usize, edges: usize) -> Pending {
        Pending {
            slots: vec![[[0.0; SPECIES]; SLOTS]; compartments],
            active: vec![0; compartments],
            edges: vec![[0.0; SPECIES]; edges],
        }
    }

    /// Nothing has moved yet in compartments and along edges.
    pub fn clear(&mut self, compartments: &[usize], edges: &[usize]) {
        for i in compartments.iter().copied() {
            self.slots[i] = [[0.0; SPECIES]; SLOTS];
            self.active[i] = 0;
        }
        for x in edges.iter().copied() {
            self.edges[x] = [0.0; SPECIES];
        }
    }

    /// Adds what a slot moved.
    pub fn add_slot(&mut self, i: usize, slot: Slot, moved: &[f64; SPECIES]) {
        self.active[i] |= 1 << slot as u32;
        add(&mut self.slots[i][slot as usize], moved);
    }

    /// Adds what passed along an edge.
    pub fn add_edge(&mut self, x: usize, moved: &[f64; SPECIES]) {
        add(&mut self.edges[x], moved);
    }

    /// Adds all that a part moved in a compartment.
    pub fn add_part(&mut self, i: usize, part: &Interpolant, w: &Weights) {
        self.active[i] |= part.active();
        for s in bits(part.active()) {
            add(&mut self.slots[i][s], &part.moved(s, w));
        }
    }

    /// Adds all that passed in a part along an edge.
    pub fn add_edge_part(&mut self, x: usize, part: &EdgeInterpolant, w: &Weights) {
        add(&mut self.edges[x], &moved(&part.flow, w));
    }

    /// Slots that moved something, as bits.
    #[inline]
    pub fn active(&self, i: usize) -> u32 {
        self.active[i]
    }

    /// What a slot moved.
    #[inline]
    pub fn slot(&self, i: usize, s: usize) -> &[f64; SPECIES] {
        &self.slots[i][s]
    }

    /// What passed along an edge.
    #[inline]
    pub fn edge(&self, x: usize) -> &[f64; SPECIES] {
        &self.edges[x]
    }
}
