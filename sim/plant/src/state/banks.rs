//! What lies in the banks, species by species, with the last analysis beside it; and what a step finds there.

use crate::steel::{MAX_BANKS, Steel};
use deepstay_core::gas::flow::Nozzle;
use deepstay_core::gas::{self, Amounts};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// A bank's gas as a step finds it: its fractions, how it flows through an opening, and what may be drawn of it.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct BankGas {
    /// Mole fractions.
    pub mix: Amounts,
    /// How it flows through an opening.
    pub nozzle: Nozzle,
    /// Moles less what the open intervals of others will have drawn by their ends.
    pub spare_mol: f64,
}

impl BankGas {
    /// Of the moles in a bank, of which some are spoken for.
    pub fn of(n_mol: &Amounts, spare_mol: f64) -> BankGas {
        let mix = n_mol.fractions();
        BankGas {
            mix,
            nozzle: Nozzle::new(&mix),
            spare_mol,
        }
    }
}

/// The banks that flows draw from: what their gas is like, and how much of it there is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BanksAt<'a> {
    /// What their gas is like.
    pub gas: &'a [BankGas; MAX_BANKS],
    /// Moles in each.
    pub mol: &'a [f64; MAX_BANKS],
}

/// A bank's contents, without what open intervals still draw.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FoundBank {
    /// What lies in it by species, mol.
    pub n_mol: Amounts,
    /// Oxygen fraction of the last analysis at the panel.
    pub analysed_o2: Option<f64>,
}

/// What each bank holds.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct BankStock(Vec<FoundBank>);

impl BankStock {
    /// As they were filled.
    pub fn of(steel: &Steel) -> BankStock {
        let state = |b: &crate::steel::Bank| FoundBank {
            n_mol: b.true_mix.scaled(gas::state::total_moles(
                &b.true_mix,
                b.fill_gauge_pa + steel.surface_pa,
                b.volume_m3,
                b.t_k,
            )),
            analysed_o2: b.analysed_o2,
        };
        BankStock(steel.banks.iter().map(state).collect())
    }

    /// As they are found.
    pub fn found(banks: Vec<FoundBank>) -> BankStock {
        BankStock(banks)
    }

    /// Every bank.
    pub fn all(&self) -> &[FoundBank] {
        &self.0
    }

    /// How many banks there are.
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// Moles in a bank by species.
    pub fn n_mol(&self, bank: BankId) -> Amounts {
        self.0[bank.index()].n_mol
    }

    /// Fills a bank with other gas.
    pub fn fill(&mut self, bank: BankId, n_mol: Amounts) {
        self.0[bank.index()].n_mol = n_mol;
    }

    /// Puts gas into a bank, or takes it out where `sign` is below zero.
    pub fn add(&mut self, bank: BankId, moles: &Amounts, sign: f64) {
        let n = &mut self.0[bank.index()].n_mol;
        *n = n.plus(&moles.scaled(sign));
    }

    /// Oxygen fraction of a bank's last analysis.
    pub fn analysed_o2(&self, bank: BankId) -> Option<f64> {
        self.0[bank.index()].analysed_o2
    }

    /// Writes an analysis down.
    pub fn set_analysed_o2(&mut self, bank: BankId, o2: f64) {
        self.0[bank.index()].analysed_o2 = Some(o2);
    }
}
