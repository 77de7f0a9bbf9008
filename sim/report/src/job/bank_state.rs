//! What lies in a bank, by its label, by its last analysis, and truly: at the start and at the end.

use super::inputs::Inputs;
use crate::subject::BankLabel;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::What;
use deepstay_core::units::{BankId, Place};

/// By how much a true fraction may be off its label before a page says so.
const OFF_LABEL: f64 = 0.001;

/// What is known of a bank's gas once a job is over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct BankState {
    /// Oxygen fraction on the label.
    pub label_o2: f64,
    /// Oxygen fraction of the last analysis, before the job or in it; none if there was none.
    pub analysed_o2: Option<f64>,
    /// What truly lay in it at the start, mol.
    pub start: Option<Amounts>,
    /// What truly lies in it at the end, mol.
    pub end: Option<Amounts>,
}

impl BankState {
    /// Of a bank, from the record.
    pub fn of(inputs: &Inputs<'_>, bank: BankId, label: &BankLabel) -> BankState {
        let found = inputs
            .record
            .log
            .acts()
            .iter()
            .rev()
            .find_map(|entry| match entry.what {
                What::Analysed { bank: of, o2 } if of == bank => Some(o2),
                _ => None,
            });
        let (ledger, place) = (&inputs.record.ledger, Place::Bank(bank));
        BankState {
            label_o2: label.label_o2,
            analysed_o2: found.or(label.analysed_o2),
            start: ledger.opening(place),
            end: ledger.closing(place),
        }
    }

    /// Oxygen fraction truly in it at the start.
    pub fn start_o2(&self) -> Option<f64> {
        o2(self.start)
    }

    /// Oxygen fraction truly in it at the end.
    pub fn end_o2(&self) -> Option<f64> {
        o2(self.end)
    }

    /// Whether what is in it, at the start or at the end, is not what its label says.
    pub fn is_off_label(&self) -> bool {
        let mut true_o2 = [self.start_o2(), self.end_o2()].into_iter().flatten();
        true_o2.any(|o2| (o2 - self.label_o2).abs() > OFF_LABEL)
    }
}

fn o2(n_mol: Option<Amounts>) -> Option<f64> {
    let n_mol = n_mol.filter(|n| n.total() > 0.0)?;
    Some(n_mol.fractions()[Species::O2])
}
