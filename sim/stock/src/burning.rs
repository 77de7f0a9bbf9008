//! Oxygen for burning: hours of the work list at which a torch burns, drawn from the stock's oxygen day by day as divers
//! breathe in the water. No chamber sees it, so a job's own ledger does not hold it.

use super::reserve::COUNTED_AT;
use super::{Gas, Replicate, USES, Use};
use deepstay_plant::Duty;
use deepstay_scenario::{Scenario, WorkTask};

const DAY_S: f64 = 86_400.0;

/// Oxygen for burning in one job, m3 of free gas: the hours of the work list at which it burns, cut where the
/// job has less time in the water than the list asks for.
pub fn burnt_m3(scenario: &Scenario, job: &Replicate) -> f64 {
    let Some((m3_h, _)) = scenario.study.burning else {
        return 0.0;
    };
    let asked_h: f64 = scenario
        .work
        .tasks
        .iter()
        .map(|t| t.in_water_s as f64 / 3600.0)
        .sum();
    let done = (job.water_s as f64 / 3600.0 / asked_h.max(1e-9)).min(1.0);
    burning_hours(scenario) * done * m3_h
}

/// Hours in the water at tasks whose gas is oxygen.
pub fn burning_hours(scenario: &Scenario) -> f64 {
    let tasks = burning_tasks(scenario);
    tasks.map(|t| t.in_water_s as f64 / 3600.0).sum()
}

/// Tasks of the work list whose gas is oxygen.
pub fn burning_tasks(scenario: &Scenario) -> impl Iterator<Item = &WorkTask> {
    let burns = |t: &&WorkTask| {
        let gas = t.gas.as_deref();
        gas.is_some_and(|g| g.eq_ignore_ascii_case("oxygen"))
    };
    scenario.work.tasks.iter().filter(burns)
}

/// Takes a job's oxygen for burning from its stock, as far as there is any.
pub(super) fn burn(
    scenario: &Scenario,
    stock: &[Gas],
    present_s: Option<i64>,
    job: &mut Replicate,
) {
    let wanted_mol = burnt_m3(scenario, job) * COUNTED_AT.mol_per_m3();
    let of_oxygen = |g: &Gas| g.duty == Duty::Oxygen;
    let Some(gas) = stock.iter().position(of_oxygen) else {
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
    let of_gas = job.left_mol.iter_mut().skip(gas).step_by(stock.len());
    for (day, left) in of_gas.enumerate() {
        let burnt = by(day as f64).min(*left).max(0.0);
        *left -= burnt;
        job.burnt_mol = job.burnt_mol.max(burnt);
    }
    if let (Some(left), Some(at_s)) = (job.at_present_mol.get_mut(gas), present_s) {
        *left = (*left - by(at_s as f64 / DAY_S)).max(0.0);
    }
}
