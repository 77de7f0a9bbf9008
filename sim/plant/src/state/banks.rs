//! What lies in the banks: the mixture of each, which no order changes, and how much of it there is.

use crate::steel::Steel;
use deepstay_core::gas::flow::Nozzle;
use deepstay_core::gas::{self, Amounts};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// True mixtures, as fractions, and how each flows through an opening.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct BankGases {
    mixes: Vec<Amounts>,
    #[serde(skip)]
    nozzles: Vec<Nozzle>,
}

impl BankGases {
    /// As they were filled.
    pub fn of(steel: &Steel) -> BankGases {
        let mut gases = BankGases {
            mixes: steel.banks.iter().map(|b| b.true_mix).collect(),
            nozzles: Vec::new(),
        };
        gases.make_nozzles();
        gases
    }

    /// Makes what follows from the mixtures.
    pub fn make_nozzles(&mut self) {
        self.nozzles = self.mixes.iter().map(Nozzle::new).collect();
    }

    /// Mixture truly in a bank, fractions.
    #[inline]
    pub fn mix(&self, bank: BankId) -> &Amounts {
        &self.mixes[bank.index()]
    }

    /// How a bank's gas flows through an opening.
    #[inline]
    pub fn nozzle(&self, bank: BankId) -> &Nozzle {
        &self.nozzles[bank.index()]
    }

    /// Another gas has been in a bank all along.
    pub fn replace(&mut self, bank: BankId, mix: Amounts) {
        self.mixes[bank.index()] = mix;
        self.make_nozzles();
    }
}

/// A bank's contents, without what open intervals still draw.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct BankState {
    /// Moles by species.
    n_mol: Amounts,
    /// Oxygen fraction of the last analysis at the panel.
    analysed_o2: Option<f64>,
}

/// What each bank holds.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct BankStock(Vec<BankState>);

impl BankStock {
    /// As they were filled.
    pub fn of(steel: &Steel) -> BankStock {
        let state = |b: &crate::steel::Bank| BankState {
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
