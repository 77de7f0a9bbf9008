//! The plant at any second, evaluated from its anchors: gas, pressures, banks. Stores nothing.

use crate::bits::bits;
use crate::books::booking::booking;
use crate::books::slot::{BANKED, Slot};
use crate::model::Model;
use crate::solver::interpolant::Weights;
use crate::state::banks::BankStock;
use crate::trajectory::trajectories::Trajectories;
use deepstay_core::gas::Amounts;
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

    /// Moles in a bank that a cluster may draw from a second on: what is there, less what the open intervals of the
    /// others will still have drawn by their ends.
    pub fn spare_mol(&self, c: usize, bank: BankId, t_s: i64) -> f64 {
        let (model, trajectories) = (&self.model, self.trajectories);
        let mut spare = self.bank(bank, t_s).total();
        for (other, cluster) in trajectories.clusters().iter().enumerate() {
            if other == c || cluster.dirty || cluster.end_s() <= t_s {
                continue;
            }
            let (now, end_s) = (trajectories.weights_at(other, t_s), cluster.end_s());
            let end = trajectories.weights_at(other, end_s);
            for i in cluster.members.iter().copied() {
                for s in bits(trajectories.active(i) & BANKED) {
                    let draws = booking(model, i, Slot::ALL[s])
                        .is_some_and(|b| b.banks().any(|(b, sign)| b == bank && sign < 0.0));
                    let moved = |t_s: i64, w: &Weights| {
                        let moved = trajectories.moved(i, s, t_s, w);
                        moved.map_or(0.0, |m| m.iter().sum())
                    };
                    if draws {
                        spare -= (moved(end_s, &end) - moved(t_s, &now)).max(0.0);
                    }
                }
            }
        }
        spare
    }

    /// Absolute pressure in a bank, Pa.
    pub fn bank_pa(&self, bank: BankId, t_s: i64) -> f64 {
        self.model.holding_pa(bank, &self.bank(bank, t_s))
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
