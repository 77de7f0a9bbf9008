//! The gases of a stock as a planner orders them: all banks of one duty with one mixture on the label.

use deepstay_core::gas::state;
use deepstay_core::units::BankId;
use deepstay_plant::{Bank, Duty, Steel};

/// A gas as it is ordered.
#[derive(Clone, Debug, PartialEq)]
pub struct Gas {
    /// Duty on the label.
    pub duty: Duty,
    /// Oxygen on the label, fraction.
    pub label_o2: f64,
    /// Its banks, in the order of the stock.
    pub banks: Vec<BankId>,
}

impl Gas {
    /// Its banks on a spread.
    pub fn banks_of<'a>(&'a self, steel: &'a Steel) -> impl Iterator<Item = &'a Bank> {
        self.banks.iter().map(|b| &steel.banks[b.index()])
    }

    /// What its banks hold as they were loaded, mol.
    pub fn loaded_mol(&self, steel: &Steel) -> f64 {
        self.banks_of(steel)
            .map(|b| bank_mol(b, steel.surface_pa, b.fill_gauge_pa, b.t_k))
            .sum()
    }
}

/// Moles in a bank at a gauge pressure and temperature, by the real gas.
pub fn bank_mol(bank: &Bank, surface_pa: f64, gauge_pa: f64, t_k: f64) -> f64 {
    state::total_moles(&bank.true_mix, gauge_pa + surface_pa, bank.volume_m3, t_k)
}

/// The gases of a stock, in the order in which the stock first names them.
pub fn gases(steel: &Steel) -> Vec<Gas> {
    let mut found: Vec<Gas> = Vec::new();
    for (i, bank) in (0u8..).zip(&steel.banks) {
        let same = |g: &&mut Gas| g.duty == bank.duty && (g.label_o2 - bank.label_o2).abs() < 1e-9;
        match found.iter_mut().find(same) {
            Some(gas) => gas.banks.push(BankId(i)),
            None => found.push(Gas {
                duty: bank.duty,
                label_o2: bank.label_o2,
                banks: vec![BankId(i)],
            }),
        }
    }
    found
}
