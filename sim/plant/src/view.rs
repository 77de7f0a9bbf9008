//! The plant at any second, evaluated from its anchors: gas, pressures, banks. Stores nothing.

use crate::bits::bits;
use crate::books::booking::booking;
use crate::books::slot::{BANKED, Slot};
use crate::flows::{breathing, reclaim};
use crate::model::Model;
use crate::solver::interpolant::Weights;
use crate::state::banks::{BankGas, BankStock};
use crate::state::load::PathLoad;
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

    /// Pressure of those who breathe from a line, Pa.
    pub fn breathed_at_pa(&self, line: LineName, t_s: i64) -> f64 {
        match line {
            LineName::DiverMain(c) | LineName::DiverSecondary(c) => {
                self.model.sea_pa(c.index(), t_s as f64)
            }
            LineName::Bibs(c) | LineName::Supply(c) | LineName::Oxygen(c) => {
                let p_pa = self.pressure_pa(c.index(), t_s);
                self.model.felt_pa(c.index(), p_pa, t_s as f64)
            }
        }
    }

    /// The loop that a line's divers breathe from, by its tank, where they do.
    pub fn loop_behind(&self, line: LineName) -> Option<usize> {
        let LineName::DiverMain(bell) = line else {
            return None;
        };
        let runs = self.model.controls.of(bell.index()).reclaims();
        let reclaim = self.model.steel.reclaim.filter(|_| runs)?;
        Some(reclaim.tank.index())
    }

    /// What its bank, or the loop behind it, has over what a line needs to give a breath, Pa; a line without a bank lacks
    /// all of it.
    pub fn breath_over_pa(&self, line: LineName, t_s: i64) -> f64 {
        let p_pa = self.breathed_at_pa(line, t_s);
        if let Some(tank) = self.loop_behind(line) {
            return self.pressure_pa(tank, t_s) - p_pa - reclaim::LEAST_PA;
        }
        let Some(bank) = self.model.controls.line(line) else {
            return -p_pa - self.model.steel.breathing_over_pa;
        };
        let n_mol = self.bank(bank, t_s);
        let gas = BankGas::of(&n_mol, n_mol.total());
        let people = &self.model.controls.of(line.compartment().index()).people;
        let load = match line {
            LineName::Bibs(_) => people.bibs,
            LineName::DiverMain(_) => people.main,
            LineName::DiverSecondary(_) => people.secondary,
            LineName::Supply(_) | LineName::Oxygen(_) => PathLoad::default(),
        };
        let mol_s = breathing::breathed_mol_s(&gas.mix, p_pa, &load);
        breathing::over_pa(&self.model, bank, &gas, mol_s, p_pa)
    }

    /// Fractions of what a line, or the loop behind it, would give.
    pub fn breath_mix(&self, line: LineName, t_s: i64) -> Amounts {
        if let Some(tank) = self.loop_behind(line) {
            return Amounts(self.trajectories.node_at(tank, t_s).n_mol).fractions();
        }
        let bank = self.model.controls.line(line);
        bank.map_or(Amounts::ZERO, |b| self.bank(b, t_s).fractions())
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
