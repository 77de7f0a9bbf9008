//! The course of a compartment over an interval: its rates and what flows through each slot at three
//! times, from which its state and what has moved are known at any second between.

use super::core::Plant;
use super::frozen::{Frozen, Rates};
use super::radau::{apply, weights};
use super::slots::{SLOTS, Slot};
use super::state::Node;
use deepstay_core::gas::SPECIES;
use serde::{Deserialize, Serialize};

/// Flow at the three points of an interval, mol/s by species.
pub(super) type Flow = [[f64; SPECIES]; 3];

/// What happens in a compartment over an interval.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(super) struct Course {
    /// Rates at the three points, per species and point.
    n_mol_s: [[f64; 3]; SPECIES],
    gas_k_s: [f64; 3],
    wall_k_s: [f64; 3],
    bed_mol_s: [f64; 3],
    /// The fan blows through the absorbent.
    blowing: bool,
    /// Slots with a flow, as bits.
    pub active: u32,
    flow: [Flow; SLOTS],
    /// Pressure at the anchor, Pa.
    pub p_pa: f64,
}

impl Course {
    /// Nothing happens.
    pub fn clear(&mut self) {
        self.active = 0;
        self.blowing = false;
    }

    /// Takes the rates at the three points.
    pub fn take_rates(&mut self, rates: &[Rates; 3]) {
        for (j, rate) in rates.iter().enumerate() {
            for (mine, theirs) in self.n_mol_s.iter_mut().zip(rate.n_mol_s) {
                mine[j] = theirs;
            }
            self.gas_k_s[j] = rate.gas_k_s;
            self.wall_k_s[j] = rate.wall_k_s;
            self.bed_mol_s[j] = rate.bed_mol_s;
        }
    }

    /// Rates at other times, each a sum of those at the three points.
    pub fn rates_at(&self, rows: &[[f64; 3]; 3]) -> [Rates; 3] {
        std::array::from_fn(|j| Rates {
            n_mol_s: std::array::from_fn(|s| apply(&rows[j], &self.n_mol_s[s])),
            gas_k_s: apply(&rows[j], &self.gas_k_s),
            wall_k_s: apply(&rows[j], &self.wall_k_s),
            bed_mol_s: apply(&rows[j], &self.bed_mol_s),
        })
    }

    /// Takes the flows frozen at a point in a state.
    pub fn take_flows(&mut self, j: usize, f: &Frozen, n_mol: &[f64; SPECIES]) {
        for (slot, rate) in f.flows() {
            self.blowing |= *slot == Slot::Absorption;
            *self.at(*slot, j) = rate.mol_s(n_mol);
        }
    }

    /// Flow of a slot at a point, to be set.
    pub fn at(&mut self, slot: Slot, j: usize) -> &mut [f64; SPECIES] {
        let s = slot as usize;
        if self.active & (1 << s) == 0 {
            self.active |= 1 << s;
            self.flow[s] = [[0.0; SPECIES]; 3];
        }
        &mut self.flow[s][j]
    }

    /// State after the points' rates have added up with these weights.
    pub fn node(&self, from: &Node, w: &[f64; 3]) -> Node {
        Node {
            n_mol: std::array::from_fn(|s| from.n_mol[s] + apply(w, &self.n_mol_s[s])),
            gas_k: from.gas_k + apply(w, &self.gas_k_s),
            wall_k: from.wall_k + apply(w, &self.wall_k_s),
            bed_mol: from.bed_mol + apply(w, &self.bed_mol_s),
            bed_s: from.bed_s
                + if self.blowing {
                    w[0] + w[1] + w[2]
                } else {
                    0.0
                },
        }
    }

    /// What a slot has moved with these weights, mol; its bit must be set.
    pub fn moved(&self, s: usize, w: &[f64; 3]) -> [f64; SPECIES] {
        moved(&self.flow[s], w)
    }
}

/// What a flow has moved with these weights, mol.
pub(super) fn moved(flow: &Flow, w: &[f64; 3]) -> [f64; SPECIES] {
    std::array::from_fn(|s| w[0] * flow[0][s] + w[1] * flow[1][s] + w[2] * flow[2][s])
}

/// Numbers of the bits that are set.
pub(super) fn bits(mut mask: u32) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let s = mask.trailing_zeros() as usize;
        mask &= mask.wrapping_sub(1);
        (s < 32).then_some(s)
    })
}

impl Plant {
    /// Weights of a cluster's points at a second of its interval, or at its end if that has passed.
    pub(super) fn weights_at(&self, c: usize, t_s: i64) -> [f64; 3] {
        let cluster = &self.clusters[c];
        let h_s = cluster.h_s.max(1) as f64;
        let share = ((t_s - cluster.t_s) as f64 / h_s).min(1.0);
        weights(h_s, share)
    }
}
