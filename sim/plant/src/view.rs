//! The plant at any second, evaluated from its anchors: gas, pressures, banks. Stores nothing.

use crate::bits::bits;
use crate::books::booking::booking;
use crate::books::slot::{BANKED, Slot};
use crate::model::Model;
use crate::state::banks::BankStock;
use crate::trajectory::trajectories::Trajectories;
use deepstay_core::gas::Amounts;
use deepstay_core::record::LineName;
use deepstay_core::units::*;

/// All that the present state at a second follows from.
#[derive(Clone, Copy)]
pub(crate) struct View<'a> {
    /// Steel and settings.
    pub model: Model<'a>,
    /// Anchors and what leads from them.
    pub trajectories: &'a Trajectories,
    /// Banks as of the anchors.
    pub stock: &'a BankStock,
}

impl View<'_> {
    /// Pressure of a compartment, Pa.
    pub fn pressure_pa(&self, i: usize, t_s: i64) -> f64 {
        self.model
            .pressure_pa(i, &self.trajectories.node_at(i, t_s))
    }

    /// A bank's contents, with what open intervals have drawn by then.
    pub fn bank(&self, bank: BankId, t_s: i64) -> Amounts {
        let (model, trajectories) = (&self.model, self.trajectories);
        let mut n = self.stock.n_mol(bank);
        for i in 0..trajectories.compartments() {
            let drawing = trajectories.active(i) & BANKED;
            if drawing == 0 {
                continue;
            }
            let w = trajectories.weights_at(trajectories.cluster_of(i), t_s);
            for s in bits(drawing) {
                let Some(booking) = booking(model, i, Slot::ALL[s]) else {
                    continue;
                };
                for (_, sign) in booking.banks().filter(|(b, _)| *b == bank) {
                    if let Some(moved) = trajectories.moved(i, s, t_s, &w) {
                        n = n.plus(&Amounts(moved).scaled(sign));
                    }
                }
            }
        }
        n
    }

    /// Absolute pressure in a bank, Pa.
    pub fn bank_pa(&self, bank: BankId, t_s: i64) -> f64 {
        self.model.holding_pa(bank, &self.bank(bank, t_s))
    }

    /// Pressure of those who breathe from a line, Pa.
    pub fn breathed_at_pa(&self, line: LineName, t_s: i64) -> f64 {
        match line {
            LineName::DiverMain(c) | LineName::DiverSecondary(c) => {
                self.model.sea_pa(c.index(), t_s as f64)
            }
            LineName::Bibs(c) | LineName::Supply(c) | LineName::Oxygen(c) => {
                self.pressure_pa(c.index(), t_s)
            }
        }
    }

    /// What its bank has over what a line needs to give a breath, Pa; a line without a bank lacks all of it.
    pub fn breath_over_pa(&self, line: LineName, t_s: i64) -> f64 {
        let bank_pa = self
            .model
            .controls
            .line(line)
            .map_or(0.0, |b| self.bank_pa(b, t_s));
        bank_pa - self.breathed_at_pa(line, t_s) - self.model.steel.breathing_over_pa
    }

    /// Moles that the parts of a second taken so far have drawn from a bank.
    pub fn drawn_in_parts(&self, c: usize, bank: BankId) -> f64 {
        let pending = self.trajectories.pending();
        let mut drawn = 0.0;
        for i in self.trajectories.clusters()[c].members.iter().copied() {
            for s in bits(pending.active(i) & BANKED) {
                let Some(booking) = booking(&self.model, i, Slot::ALL[s]) else {
                    continue;
                };
                let here = booking.banks().filter(|(b, _)| *b == bank);
                let by: f64 = here.map(|(_, sign)| -sign).sum();
                drawn += by * pending.slot(i, s).iter().sum::<f64>();
            }
        }
        drawn
    }

    /// Banks that a cluster's members draw from or fill, as bits.
    pub fn banks_of(&self, c: usize) -> u32 {
        let members = &self.trajectories.clusters()[c].members;
        self.model
            .controls
            .banks_of(members, self.model.recovery_bank())
    }
}
