//! Oxygen for burning: hours of the work list at which a torch burns, drawn from the stock's oxygen day by day as divers
//! breathe in the water. No chamber sees it, so a job's own ledger does not hold it.

use super::{Ensemble, Replicate, USES, Use, burnt_m3};
use crate::reserve::COUNTED_AT;
use deepstay_plant::Duty;

const DAY_S: f64 = 86_400.0;

/// Takes a job's oxygen for burning from its stock, as far as there is any.
pub(crate) fn burn(ensemble: &Ensemble, job: &mut Replicate) {
    let wanted_mol = burnt_m3(ensemble, job) * COUNTED_AT.mol_per_m3();
    let of_oxygen = |g: &super::Gas| g.duty == Duty::Oxygen;
    let Some(gas) = ensemble.gases.iter().position(of_oxygen) else {
        return;
    };
    if wanted_mol <= 0.0 {
        return;
    }
    let breathed: Vec<f64> = job
        .used_mol
        .iter()
        .skip(Use::Breathed as usize)
        .step_by(USES.len())
        .copied()
        .collect();
    let all = breathed.last().copied().unwrap_or(0.0);
    let by = |days: f64| -> f64 {
        let at = |day: usize| breathed.get(day).copied().unwrap_or(all);
        let whole = days.floor();
        let day = whole as usize;
        let share = at(day) + (days - whole) * (at(day + 1) - at(day));
        wanted_mol * if all > 0.0 { share / all } else { 0.0 }
    };
    let gases = ensemble.gases.len();
    let of_gas = job.left_mol.iter_mut().skip(gas).step_by(gases);
    for (day, left) in of_gas.enumerate() {
        let burnt = by(day as f64).min(*left).max(0.0);
        *left -= burnt;
        job.burnt_mol = job.burnt_mol.max(burnt);
    }
    if let (Some(left), Some(at_s)) = (job.at_present_mol.get_mut(gas), ensemble.present_s) {
        *left = (*left - by(at_s as f64 / DAY_S)).max(0.0);
    }
}
