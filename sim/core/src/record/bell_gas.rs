//! Gas that bells moved: drawn and lost by purpose, put back, and brought round by reclaim. A run keeps one, and so
//! does all that was moved while no run was going on that it could belong to.

use super::Flow;
use crate::gas::Amounts;
use crate::units::{Place, Purpose};

/// Gas of a bell run, or of bells outside their runs. Gross: nothing is set off against anything.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BellGas {
    drawn_mol: [f64; Purpose::ALL.len()],
    lost_mol: [f64; Purpose::ALL.len()],
    returned_mol: f64,
    reclaimed_mol: f64,
}

impl BellGas {
    /// Drawn from banks for a purpose, mol.
    pub fn drawn_mol(&self, purpose: Purpose) -> f64 {
        self.drawn_mol[purpose as usize]
    }

    /// Drawn from banks for all purposes, mol.
    pub fn all_drawn_mol(&self) -> f64 {
        self.drawn_mol.iter().sum()
    }

    /// Lost to sea or air for a purpose, mol.
    pub fn lost_mol(&self, purpose: Purpose) -> f64 {
        self.lost_mol[purpose as usize]
    }

    /// Lost to sea or air for all purposes, mol.
    pub fn all_lost_mol(&self) -> f64 {
        self.lost_mol.iter().sum()
    }

    /// Put back into banks, mol.
    pub fn returned_mol(&self) -> f64 {
        self.returned_mol
    }

    /// Breathed by divers and brought back by reclaim, mol.
    pub fn reclaimed_mol(&self) -> f64 {
        self.reclaimed_mol
    }

    /// Whether nothing moved.
    pub fn is_nothing(&self) -> bool {
        *self == BellGas::default()
    }

    /// Adds what moved one way.
    pub(super) fn book(&mut self, from: Place, to: Place, purpose: Purpose, mol: f64) {
        if Flow::Drawn.counts(from, to) {
            self.drawn_mol[purpose as usize] += mol;
        }
        if Flow::Lost.counts(from, to) {
            self.lost_mol[purpose as usize] += mol;
        }
        if Flow::Returned.counts(from, to) {
            self.returned_mol += mol;
        }
        if Flow::Reclaimed.counts(from, to) {
            self.reclaimed_mol += mol;
        }
    }

    pub(super) fn add(&mut self, other: &BellGas) {
        for p in 0..Purpose::ALL.len() {
            self.drawn_mol[p] += other.drawn_mol[p];
            self.lost_mol[p] += other.lost_mol[p];
        }
        self.returned_mol += other.returned_mol;
        self.reclaimed_mol += other.reclaimed_mol;
    }
}

/// The movement of an entry as one or two that each go one way.
pub(super) fn one_way(from: Place, to: Place, moles: &Amounts) -> [(Place, Place, f64); 2] {
    let (forward, back) = moles.both_ways();
    [(from, to, forward.total()), (to, from, back.total())]
}
