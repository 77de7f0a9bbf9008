//! The interpolant of a compartment over an interval: its rates and what flows through each slot at three
//! times, from which its state and what has moved are known at any second between.

use crate::amounts::but_for_rounding;
use crate::books::slot::{SLOTS, Slot};
use crate::flows::flow::Flows;
use crate::solver::interpolant::Weights;
use crate::solver::radau::Points;
use crate::state::node::{Flow, Node, Rates};
use deepstay_core::gas::SPECIES;
use serde::{Deserialize, Serialize};

/// What happens in a compartment over an interval.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(crate) struct Interpolant {
    /// Rates at the three points, per species and point.
    n_mol_s: [Points; SPECIES],
    gas_k_s: Points,
    wall_k_s: Points,
    bed_mol_s: Points,
    /// The fan blows through the absorbent.
    blowing: bool,
    /// Slots with a flow, as bits.
    active: u32,
    flow: [Flow; SLOTS],
    /// Pressure at the anchor, Pa.
    anchor_pa: f64,
    /// What goes out to keep one pressure with the outside, mol/s.
    outward: Points,
}

impl Interpolant {
    /// Takes the rates at the three points from an anchor at a pressure, and what goes out to keep one pressure;
    /// forgets all flows.
    pub fn take_rates(&mut self, anchor_pa: f64, rates: &[Rates; 3], outward: Points) {
        (self.active, self.blowing) = (0, false);
        (self.anchor_pa, self.outward) = (anchor_pa, outward);
        for (j, rate) in rates.iter().enumerate() {
            for (mine, theirs) in self.n_mol_s.iter_mut().zip(rate.n_mol_s) {
                mine[j] = theirs;
            }
            self.gas_k_s[j] = rate.gas_k_s;
            self.wall_k_s[j] = rate.wall_k_s;
            self.bed_mol_s[j] = rate.bed_mol_s;
        }
    }

    /// Takes the flows at a point in a state.
    pub fn take_flows(&mut self, j: usize, flows: &Flows, n_mol: &[f64; SPECIES]) {
        for (slot, rate) in flows.list() {
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

    /// Slots with a flow, as bits.
    #[inline]
    pub fn active(&self) -> u32 {
        self.active
    }

    /// Pressure at the anchor, Pa.
    #[inline]
    pub fn anchor_pa(&self) -> f64 {
        self.anchor_pa
    }

    /// What goes out to keep one pressure with the outside, mol/s.
    #[inline]
    pub fn outward(&self) -> &Points {
        &self.outward
    }

    /// Rates at the points: of a species, of gas and wall temperature, and of what the canister takes.
    pub fn rates(&self) -> (&[Points; SPECIES], &Points, &Points, &Points) {
        (
            &self.n_mol_s,
            &self.gas_k_s,
            &self.wall_k_s,
            &self.bed_mol_s,
        )
    }

    /// State after the points' rates have added up with these weights.
    pub fn node(&self, from: &Node, w: &Weights) -> Node {
        Node {
            n_mol: std::array::from_fn(|s| {
                let mol = from.n_mol[s] + w.added(&self.n_mol_s[s]);
                if mol < 0.0 {
                    but_for_rounding(mol, from)
                } else {
                    mol
                }
            }),
            gas_k: from.gas_k + w.added(&self.gas_k_s),
            wall_k: from.wall_k + w.added(&self.wall_k_s),
            bed_mol: from.bed_mol + w.added(&self.bed_mol_s),
            bed_s: from.bed_s + if self.blowing { w.time_s() } else { 0.0 },
        }
    }

    /// What a slot has moved with these weights, mol; its bit must be set.
    pub fn moved(&self, s: usize, w: &Weights) -> [f64; SPECIES] {
        moved(&self.flow[s], w)
    }
}

/// What passes along an edge over an interval.
#[derive(Clone, Copy, Debug, Default, Serialize, Deserialize)]
pub(crate) struct EdgeInterpolant {
    /// Net from one side to the other, by species and point, mol/s.
    pub flow: Flow,
    /// The part of it that keeps one pressure, mol/s.
    pub constraint: Points,
}

/// What a flow has moved with these weights, mol.
pub(crate) fn moved(flow: &Flow, Weights(w): &Weights) -> [f64; SPECIES] {
    std::array::from_fn(|s| w[0] * flow[0][s] + w[1] * flow[1][s] + w[2] * flow[2][s])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A vessel of a hundred moles: the last of a species is nothing, and not less; what is truly below stays so, to be
    /// found.
    #[test]
    fn what_rounding_leaves_below_nothing_is_nothing() {
        let vessel = Node {
            n_mol: [90.0, 10.0, 1e-9, 1e-9, 0.0, 0.0],
            ..Node::default()
        };
        let mut interpolant = Interpolant::default();
        interpolant.n_mol_s[2] = [-1e-9 - 1e-17; 3];
        interpolant.n_mol_s[3] = [-2e-9; 3];
        let after = interpolant.node(&vessel, &Weights::at(1.0, 1.0));
        assert_eq!(after.n_mol[2], 0.0);
        assert!((after.n_mol[3] + 1e-9).abs() < 1e-15);
        assert_eq!(after.n_mol[..2], [90.0, 10.0]);
    }
}
