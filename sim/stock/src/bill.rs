//! From the answer of an ensemble and a sheet of minimums to what a supplier is asked for: the floors the
//! stock is held against, the need of each gas, and its course by day.

use super::absorbent::canisters;
use super::reserve::{COUNTED_AT, Given, Holding, ReserveInputs, Sheet, usable_mol};
use super::supply::{Course, Need};
use super::{
    AbsorbentStock, Answer, Ensemble, Floor, Floors, Gas, Replicate, USES, Use, bank_mol,
    demand_mol, left_mol, quantile_of,
};
use deepstay_core::units::{BAR_PA, MSW_PA};
use deepstay_plant::Duty;
use deepstay_scenario::Planner;

/// What the planner gave, and the house's figures for the rest.
pub fn reserve_inputs(planner: &Planner) -> ReserveInputs {
    let or = |given: Option<f64>, house: Given| given.map_or(house, Given::by_planner);
    let house = ReserveInputs::default();
    ReserveInputs {
        recover_s: or(planner.recover_s, house.recover_s),
        retrieval_s: or(planner.retrieval_s, house.retrieval_s),
        second_means: planner.second_means,
        diver_l_min: or(planner.diver_l_min, house.diver_l_min),
        mask_l_min: or(planner.mask_l_min, house.mask_l_min),
        escape_sets: or(planner.escape_sets, house.escape_sets),
        bail_out_l: or(planner.bail_out_l, house.bail_out_l),
        bail_out_bar: or(planner.bail_out_bar, house.bail_out_bar),
        bail_out_regulator_bar: or(planner.bail_out_regulator_bar, house.bail_out_regulator_bar),
        people: planner.people,
        over_bottom_bar: or(planner.over_bottom_bar, house.over_bottom_bar),
        spare_absorbent_bell_kg: planner.spare_absorbent_bell_kg,
        spare_absorbent_kg: planner.spare_absorbent_kg.unwrap_or(0.0),
        dive_s: or(planner.dive_s, house.dive_s),
        treatment_s: planner.treatment_s,
        ..house
    }
}

/// Depth at which a gas must still be delivered, msw.
fn used_at_msw(duty: Duty, sheet: &Sheet) -> f64 {
    match duty {
        Duty::DiverGas | Duty::OnBoard => sheet.working_msw,
        Duty::Air | Duty::Calibration => 0.0,
        Duty::BottomMix
        | Duty::Oxygen
        | Duty::Treatment
        | Duty::Emergency
        | Duty::Helium
        | Duty::Recovered => sheet.storage_msw,
    }
}

/// What must stand above the depth at a bank of a gas: over the bottom, and for the regulator, Pa.
fn above_depth_pa(duty: Duty, inputs: &ReserveInputs, planner: &Planner) -> (f64, f64) {
    let over_bottom_bar = if matches!(duty, Duty::Air | Duty::Calibration) {
        0.0
    } else {
        inputs.over_bottom_bar.value
    };
    (
        over_bottom_bar * BAR_PA,
        planner.regulator_bar.unwrap_or(0.0) * BAR_PA,
    )
}

/// Gauge pressure under which a bank of a gas is of no more use, Pa.
fn heel_gauge_pa(duty: Duty, sheet: &Sheet, inputs: &ReserveInputs, planner: &Planner) -> f64 {
    let (over_bottom_pa, regulator_pa) = above_depth_pa(duty, inputs, planner);
    used_at_msw(duty, sheet) * MSW_PA + (over_bottom_pa + regulator_pa)
}

/// What the stock of an ensemble is held against: each posted minimum above what cannot be drawn.
pub fn floors(ensemble: &Ensemble, sheet: &Sheet, inputs: &ReserveInputs) -> Floors {
    let (steel, planner) = (&ensemble.base.steel, &ensemble.base.study.planner);
    let heel = |gas: &Gas| -> f64 {
        let gauge = heel_gauge_pa(gas.duty, sheet, inputs, planner);
        let each = gas
            .banks_of(steel)
            .map(|b| bank_mol(b, steel.surface_pa, gauge.min(b.fill_gauge_pa), b.t_k));
        each.sum::<f64>() * ensemble.ample()
    };
    let heel_mol: Vec<f64> = ensemble.gases.iter().map(heel).collect();
    let of = |holding: Holding| -> Vec<usize> {
        let gases = sheet
            .held(holding)
            .map(|h| h.gases.as_slice())
            .unwrap_or_default();
        gases
            .iter()
            .filter_map(|g| ensemble.gases.iter().position(|e| e == g))
            .collect()
    };
    let all = sheet
        .totals
        .iter()
        .filter(|t| t.holding.is_gas() && t.amount > 0.0)
        .map(|t| {
            let gases = of(t.holding);
            let home_mol = t.way_home();
            let mol = t.amount + gases.iter().map(|g| heel_mol[*g]).sum::<f64>();
            Floor {
                words: t.holding.to_string(),
                gases,
                mol,
                home_mol,
            }
        });
    let start = |f: &Floor| {
        f.gases
            .iter()
            .map(|g| ensemble.gases[*g].loaded_mol(steel) * ensemble.ample())
            .sum::<f64>()
    };
    let (posted, unmet) = all.partition(|f| start(f) >= f.mol);
    Floors {
        absorbent: absorbent_stock(ensemble, sheet),
        posted,
        unmet,
        heel_mol,
    }
}

/// What is aboard of absorbent, and the minimum of the chambers.
fn absorbent_stock(ensemble: &Ensemble, sheet: &Sheet) -> AbsorbentStock {
    let planner = &ensemble.base.study.planner;
    let holding = Holding::ChamberAbsorbent;
    let total = sheet.totals.iter().find(|t| t.holding == holding);
    AbsorbentStock {
        in_scrubbers_kg: canisters(&ensemble.base.steel).flatten().sum(),
        spare_kg: planner.spare_absorbent_kg,
        in_bell_kg: planner.spare_absorbent_bell_kg,
        counts_kg: total.map_or(0.0, |t| t.held),
        minimum_kg: total.map_or(0.0, |t| t.amount),
        home_kg: total.map_or(0.0, |t| t.way_home()),
    }
}

/// What is asked of a supplier for each gas of the stock, and how its stock runs without any boat.
///
/// The demand is the quantile of the ensemble that is to be covered. A minimum that several gases hold
/// together is shared among them as they are held. What no job draws and no rule asks for is kept as it was
/// loaded (house rule).
pub fn needs(
    ensemble: &Ensemble,
    answer: &Answer,
    jobs: &[Replicate],
    sheet: &Sheet,
    inputs: &ReserveInputs,
    floors: &Floors,
) -> Vec<(Need, Course)> {
    let base = &ensemble.base;
    let (steel, planner, covered) = (&base.steel, &base.study.planner, base.study.covered);
    let each = |(g, gas): (usize, &Gas)| {
        let bank = gas.banks_of(steel).next()?;
        let drawn = answer.gases.iter().any(|a| a.place == g);
        let demands = || {
            jobs.iter()
                .map(|r| demand_mol(r, ensemble.gases.len(), g))
                .collect()
        };
        let demand_mol = if drawn {
            quantile_of(demands(), covered)
        } else {
            0.0
        };
        let (reserve_mol, rules) = reserve(ensemble, sheet, inputs, gas);
        let usable_at_start = gas.loaded_mol(steel) - floors.heel(g);
        let (over_bottom_pa, regulator_pa) = above_depth_pa(gas.duty, inputs, planner);
        let kept = demand_mol <= 0.0 && reserve_mol <= 0.0 || gas.duty == Duty::OnBoard;
        let burning_mol = if gas.duty == Duty::Oxygen {
            quantile_of(jobs.iter().map(|r| r.burnt_mol).collect(), covered)
        } else {
            0.0
        };
        let note = match (kept, rules.is_empty()) {
            (true, _) if gas.duty == Duty::OnBoard => "the bell's own bottles, kept full as they were loaded (house rule)".to_owned(),
            (true, _) => "no job draws it and no rule of the set asks for it: kept as it was loaded (house rule)".to_owned(),
            (false, true) => format!("{:.0} % of the jobs draw no more; no rule of the set asks for a reserve", covered * 100.0),
            (false, false) => format!("{:.0} % of the jobs draw no more; reserve by {}", covered * 100.0, rules.join(", ")),
        };
        let note = if burning_mol > 0.0 {
            format!(
                "{note}; {:.0} m3 of the demand are for burning",
                burning_mol / COUNTED_AT.mol_per_m3()
            )
        } else {
            note
        };
        let need = Need {
            gas: gas.clone(),
            mix: bank.true_mix,
            demand_mol,
            reserve_mol: if kept {
                usable_at_start.max(reserve_mol)
            } else {
                reserve_mol
            },
            deepest_msw: used_at_msw(gas.duty, sheet),
            over_bottom_pa,
            regulator_pa,
            surface_pa: steel.surface_pa,
            bank_t_k: bank.t_k,
            note,
        };
        Some((need, course(ensemble, jobs, g, floors)))
    };
    ensemble.gases.iter().enumerate().filter_map(each).collect()
}

/// The course of a gas's stock by day over jobs: in the middle, and at the share of jobs to be covered.
pub(super) fn course(
    ensemble: &Ensemble,
    jobs: &[Replicate],
    gas: usize,
    floors: &Floors,
) -> Course {
    let by_day = |p: f64| -> Vec<f64> {
        let left = |day: usize| {
            jobs.iter()
                .map(|r| left_mol(r, ensemble.gases.len(), gas, day))
                .collect()
        };
        (0..=ensemble.days())
            .map(|day| quantile_of(left(day), p))
            .collect()
    };
    Course {
        median_mol: by_day(0.5),
        planned_mol: by_day(1.0 - ensemble.base.study.covered),
        minimum_mol: floors.of_gas(gas).max(floors.heel(gas)),
    }
}

/// A gas's share of the minimums that it has part in, mol, and the rules that ask for them.
fn reserve(
    ensemble: &Ensemble,
    sheet: &Sheet,
    inputs: &ReserveInputs,
    gas: &Gas,
) -> (f64, Vec<String>) {
    let (mut mol, mut rules) = (0.0, Vec::new());
    let steel = &ensemble.base.steel;
    let usable = |g: &Gas| -> f64 {
        let heel_pa = heel_gauge_pa(g.duty, sheet, inputs, &ensemble.base.study.planner);
        g.banks_of(steel)
            .map(|b| usable_mol(b, b.fill_gauge_pa, heel_pa, steel.surface_pa))
            .sum()
    };
    for total in sheet
        .totals
        .iter()
        .filter(|t| t.holding.is_gas() && t.amount > 0.0)
    {
        let Some(held) = sheet.held(total.holding) else {
            continue;
        };
        if !held.gases.contains(gas) {
            continue;
        }
        let all: f64 = held.gases.iter().map(usable).sum();
        let share = if all > 0.0 {
            usable(gas) / all
        } else {
            1.0 / held.gases.len() as f64
        };
        mol += total.amount * share;
        rules.extend(total.rules().into_iter().map(str::to_owned));
    }
    rules.dedup();
    (mol, rules)
}

/// What reclaim brings back on a full day of diving, mol: the most of any day of a job, the mean of all jobs;
/// none where it brings nothing back.
pub fn reclaimed_a_day_mol(jobs: &[Replicate]) -> Option<f64> {
    let of_job = |r: &Replicate| -> Option<f64> {
        let by_day: Vec<f64> = r
            .used_mol
            .iter()
            .skip(Use::Reclaimed as usize)
            .step_by(USES.len())
            .copied()
            .collect();
        let most = by_day.windows(2).map(|w| w[1] - w[0]).fold(0.0, f64::max);
        (most > 0.0).then_some(most)
    };
    let all: Vec<f64> = jobs.iter().filter_map(of_job).collect();
    (!all.is_empty()).then(|| all.iter().sum::<f64>() / all.len() as f64)
}
