//! Planned against used, bank by bank and purpose by purpose: what hand sums over the plan would draw, beside what the
//! ledger says was drawn.

use super::inputs::Inputs;
use crate::kit::places::round;
use crate::kit::table::{bytes, row, table};
use deepstay_core::record::Flow;
use deepstay_core::units::{BankId, FREE, Moles, Place, Purpose};
use deepstay_core::words::{Names, Words};
use serde::Serialize;

/// What a bank was planned to give for a purpose, and what it gave.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlannedUse {
    /// The bank as painted; "no bank" of what no bank of the stock is left for.
    pub bank: String,
    /// What for.
    pub purpose: &'static str,
    /// By the plan, m3 of free gas; none: no sum is made of this purpose.
    pub planned_m3_free: Option<f64>,
    /// Drawn, m3 of free gas.
    pub used_m3_free: f64,
    /// The sum of the plan in symbols.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub formula: &'static str,
    /// The same in mol, for what prints in other units.
    #[serde(skip)]
    pub mol: (Option<f64>, f64),
}

/// What stands for a bank where the stock has none left.
pub(super) const NO_BANK: &str = "no bank";

/// Every bank and purpose of which something was planned or drawn, in the order of banks and purposes.
pub fn planned_uses(inputs: &Inputs<'_>) -> Vec<PlannedUse> {
    let (record, planned) = (inputs.record, &inputs.outcome.planned_gas);
    let m3 = |mol: f64| round(Moles(mol).free_m3(FREE), 1e4);
    let banks = (0u8..).map(BankId).take(inputs.subject.banks.len());
    let places = banks.map(Some).chain([None]);
    let mut all = Vec::new();
    for bank in places {
        for purpose in Purpose::ALL {
            let mine = planned
                .iter()
                .find(|p| (p.bank, p.purpose) == (bank, purpose));
            let drawn = bank.map_or(0.0, |bank| {
                let from = Place::Bank(bank);
                let out = |l: &deepstay_core::record::Line| {
                    l.from == from && l.purpose == purpose && Flow::Drawn.counts(l.from, l.to)
                };
                record.ledger.sum_where(out).total()
            });
            if mine.is_none() && drawn == 0.0 {
                continue;
            }
            let summed = planned.iter().any(|p| p.purpose == purpose);
            let mol = match (mine, summed) {
                (Some(p), _) => Some(p.mol),
                (None, true) => Some(0.0),
                (None, false) => None,
            };
            all.push(PlannedUse {
                bank: bank.map_or(NO_BANK.to_owned(), |b| inputs.subject.bank(b)),
                purpose: purpose.words(),
                planned_m3_free: mol.map(m3),
                used_m3_free: m3(drawn),
                formula: mine.map_or("", |p| p.formula),
                mol: (mol, drawn),
            });
        }
    }
    all
}

/// The table of a folder: as `job.json` has it, m3 of free gas to four places.
pub fn gas_plan_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let mut out = table();
    row(
        &mut out,
        [
            "bank",
            "purpose",
            "planned (m3 free)",
            "used (m3 free)",
            "used less planned (m3 free)",
            "sum of the plan",
        ],
    )?;
    for line in planned_uses(inputs) {
        let number = |m3: Option<f64>| m3.map(|m3| m3.to_string()).unwrap_or_default();
        let less = line
            .planned_m3_free
            .map(|p| round(line.used_m3_free - p, 1e4));
        row(
            &mut out,
            [
                line.bank.clone(),
                line.purpose.to_owned(),
                number(line.planned_m3_free),
                number(Some(line.used_m3_free)),
                number(less),
                line.formula.to_owned(),
            ],
        )?;
    }
    bytes(out)
}
