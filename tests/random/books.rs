//! What has to hold of the books of any job, from `ledger.csv` alone: nothing is below nothing, and what lay
//! somewhere, with what came and without what went, is what lies there in the end.

use super::reading::table;
use std::collections::BTreeMap;
use std::path::Path;

/// Figures of a row that are amounts by species, mol.
const SPECIES: std::ops::Range<usize> = 5..11;
/// Half of the last digit that is printed, mol.
const ROUNDING_MOL: f64 = 0.5e-6;
/// Share of what was handled by which the books may be open.
const OPEN: f64 = 1e-9;

/// A molecule, mol (one by Avogadro's number, SI 2019): what lies below nothing by less is the rounding of a sum.
const MOLECULE_MOL: f64 = 1.0 / 6.022_140_76e23;

/// One place's account of one species.
#[derive(Default)]
struct Account {
    sum_mol: f64,
    handled_mol: f64,
    rows: u32,
    opened: bool,
    closing_mol: Option<f64>,
}

impl Account {
    fn book(&mut self, mol: f64) {
        self.sum_mol += mol;
        self.handled_mol += mol.abs();
        self.rows += 1;
    }
}

/// What is wrong with the books in a job's folder.
pub fn wrong(out: &Path) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut accounts: BTreeMap<(String, usize), Account> = BTreeMap::new();
    let (heads, rows) = table(&out.join("ledger.csv"));
    for row in &rows {
        let (kind, from, to) = (row[0].as_str(), &row[2], &row[3]);
        if !matches!(kind, "opening" | "moved" | "closing") {
            continue;
        }
        for i in SPECIES {
            let mol: f64 = row[i].parse().unwrap_or(f64::NAN);
            if mol.is_nan() || mol < -MOLECULE_MOL {
                wrong.push(format!("{kind} {from} {to}: {} is {}", heads[i], row[i]));
            }
            let left = accounts.entry((from.clone(), i)).or_default();
            match kind {
                "opening" => {
                    left.opened = true;
                    left.book(mol);
                }
                "closing" => left.closing_mol = Some(mol),
                _ => {
                    left.book(-mol);
                    accounts.entry((to.clone(), i)).or_default().book(mol);
                }
            }
        }
    }
    for ((place, i), account) in accounts.iter().filter(|(_, a)| a.opened) {
        let may_mol = OPEN * account.handled_mol + ROUNDING_MOL * f64::from(account.rows + 1);
        let closing_mol = account.closing_mol.unwrap_or(f64::NAN);
        let off_mol = closing_mol - account.sum_mol;
        if off_mol.is_nan() || off_mol.abs() > may_mol {
            wrong.push(format!(
                "{place}: {} {closing_mol} in the end, {} by what came and went",
                heads[*i], account.sum_mol
            ));
        }
    }
    if accounts.values().all(|a| !a.opened) {
        wrong.push("no place has an opening amount".to_owned());
    }
    wrong
}
