//! The gases of a stock as a planner orders them: all banks of one duty with one mixture on the label.

use crate::plant::{Duty, Steel};
use crate::units::BankId;

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

/// The gases of a stock, in the order in which the stock first names them.
pub fn gases(steel: &Steel) -> Vec<Gas> {
    let mut found: Vec<Gas> = Vec::new();
    for (i, bank) in (0u8..).zip(&steel.banks) {
        let same = |g: &&mut Gas| g.duty == bank.duty && (g.label_o2 - bank.label_o2).abs() < 1e-9;
        match found.iter_mut().find(same) {
            Some(gas) => gas.banks.push(BankId(i)),
            None => found.push(Gas { duty: bank.duty, label_o2: bank.label_o2, banks: vec![BankId(i)] }),
        }
    }
    found
}
