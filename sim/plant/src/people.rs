//! What people put on the steel: loads on the gas of compartments and on breathing paths.

use super::core::Plant;
use crate::{Load, PathLoad};
use deepstay_core::gas::Amounts;
use deepstay_core::record::LineName;
use deepstay_core::units::*;

impl Plant {
    /// Sets what people put on a compartment's gas.
    pub fn set_load(&mut self, t_s: i64, c: CompartmentId, load: Load) {
        let i = c.index();
        if self.settings[i].load != load {
            self.touch(i, t_s);
            self.settings[i].load = load;
        }
    }

    /// Sets what people put on a breathing path.
    pub fn set_path(&mut self, t_s: i64, line: LineName, path: PathLoad) {
        let (LineName::Bibs(c) | LineName::DiverMain(c) | LineName::DiverSecondary(c)) = line
        else {
            return;
        };
        let i = c.index();
        let now = match line {
            LineName::Bibs(_) => self.settings[i].bibs,
            LineName::DiverMain(_) => self.settings[i].main,
            _ => self.settings[i].secondary,
        };
        if now != path {
            self.touch(i, t_s);
            let set = &mut self.settings[i];
            match line {
                LineName::Bibs(_) => set.bibs = path,
                LineName::DiverMain(_) => set.main = path,
                _ => set.secondary = path,
            }
        }
    }

    /// Lets warm water evaporate in a compartment, mol/s. It brings its heat of evaporation with it.
    pub fn set_evaporating(&mut self, t_s: i64, c: CompartmentId, mol_s: f64) {
        let i = c.index();
        if self.settings[i].evaporating_mol_s != mol_s {
            self.touch(i, t_s);
            self.settings[i].evaporating_mol_s = mol_s;
        }
    }

    /// Looks for the next met monitor in every cluster that is not about to be stepped anew.
    pub(super) fn look_again(&mut self, t_s: i64) {
        for c in 0..self.clusters.len() {
            if !self.clusters[c].dirty {
                self.find_next(c, t_s);
            }
        }
    }

    /// Whether gas can still be breathed from a line at the pressure where it is breathed.
    pub fn line_alive(&self, line: LineName, t_s: i64) -> bool {
        let (bank, p_pa) = match line {
            LineName::Bibs(c) => (
                self.settings[c.index()].bibs_bank,
                self.now_pa(c.index(), t_s),
            ),
            LineName::DiverMain(c) => (
                self.settings[c.index()].main_bank,
                self.sea_pa(c.index(), t_s as f64),
            ),
            LineName::DiverSecondary(c) => (
                self.settings[c.index()].secondary_bank,
                self.sea_pa(c.index(), t_s as f64),
            ),
            LineName::Supply(c) => (
                self.settings[c.index()].supply_bank,
                self.now_pa(c.index(), t_s),
            ),
            LineName::Oxygen(c) => (
                self.settings[c.index()].oxygen_bank,
                self.now_pa(c.index(), t_s),
            ),
        };
        bank.is_some_and(|b| self.bank_pa(b, t_s) > p_pa)
    }

    /// Fractions a line delivers, none where nothing is lined up.
    pub fn line_mix(&self, line: LineName) -> Option<Amounts> {
        let bank = match line {
            LineName::Bibs(c) => self.settings[c.index()].bibs_bank,
            LineName::DiverMain(c) => self.settings[c.index()].main_bank,
            LineName::DiverSecondary(c) => self.settings[c.index()].secondary_bank,
            LineName::Supply(c) => self.settings[c.index()].supply_bank,
            LineName::Oxygen(c) => self.settings[c.index()].oxygen_bank,
        };
        bank.map(|b| self.bank_mix(b))
    }
}
