//! What a plan would draw from each bank, by purpose: hand sums over its steps and bell runs, ideal and by the school
//! convention, with nothing for weather, faults or chance. A job's result sets it beside what was truly drawn.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current document, the company's
//! approved manual and the licensed people on the job decide.

use crate::reserve::{COUNTED_AT, usable_mol};
use deepstay_core::units::{BAR_PA, BankId, CompartmentId, CompartmentKind, MSW_PA, Purpose};
use deepstay_job::stations::{LIKED_IN_WATER_BAR, Liked, MAKE_UP_O2};
use deepstay_plant::{Bank, Duty};
use deepstay_rules::OxygenHold;
use deepstay_scenario::{Ascent, LevelDo, Scenario, lengths};
use deepstay_sums::{
    breathed_m3, decompression_oxygen_m3, leak_m3, lock_cycle_m3, person_sizing_m3, press_m3,
    school_bar,
};

/// What the plan draws from a bank for one purpose.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedGas {
    /// The bank; none: the stock has no bank left for it.
    pub bank: Option<BankId>,
    /// What for.
    pub purpose: Purpose,
    /// How much, mol.
    pub mol: f64,
    /// The sum in symbols.
    pub formula: &'static str,
}

/// Purposes that are drawn from the same banks at the same time, each with its formula.
struct Together {
    purposes: &'static [(Purpose, &'static str)],
    /// Duties that do, the first liked best. What the watch takes when there is none of them is no plan's.
    duties: &'static [Duty],
}

/// Purposes that have a sum, in the order in which their first banks are lined up.
const SUMS: [Together; 4] = [
    Together {
        purposes: &[(Purpose::BlowDown, "\u{3a3} V \u{394}D/10")],
        duties: &[Duty::BottomMix, Duty::Helium],
    },
    Together {
        purposes: &[
            (
                Purpose::MakeUp,
                "\u{3a3} k V P t, by the spread's leaks + \u{3a3} lock V D/10 of each lock run, the way up included",
            ),
            (
                Purpose::BellAndTrunk,
                "\u{3a3} trunk V D/10 + \u{3a3} bell V \u{394}D/10",
            ),
        ],
        duties: &[Duty::BottomMix, Duty::Helium],
    },
    Together {
        purposes: &[(
            Purpose::Oxygen,
            "\u{3a3} N q t + \u{3a3} V p ln((P1 \u{2212} p)/(P2 \u{2212} p)) of each decompression",
        )],
        duties: &[Duty::Oxygen],
    },
    Together {
        purposes: &[(
            Purpose::DiverGas,
            "\u{3a3} N q P t (1 \u{2212} R), by the table of rates",
        )],
        duties: &[Duty::DiverGas, Duty::BottomMix],
    },
];

/// The banks of a stock in the order in which the watch takes them for a purpose. Of banks that are alike in all that it
/// goes by it takes whichever gauge shows least, which no plan knows: here they stand as in the stock.
fn in_order(banks: &[Bank], duties: &[Duty], best_o2: f64) -> Vec<BankId> {
    let liked = |bank: &Bank| {
        let of = (bank.duty, bank.label_o2, bank.fill_gauge_pa / BAR_PA);
        Liked::of(of, (duties, best_o2))
    };
    let mut fit: Vec<(Liked, BankId)> = (0u8..)
        .map(BankId)
        .zip(banks)
        .filter_map(|(id, bank)| Some((liked(bank)?, id)))
        .collect();
    fit.sort_by(|(a, _), (b, _)| a.order(b));
    fit.into_iter().map(|(_, id)| id).collect()
}

const DAY_S: i64 = 86_400;

/// Gauge pressure over the depth that a bank is planned to keep: its change-over, bar (the house's over-bottom figure).
fn over_bottom_bar(scenario: &Scenario) -> f64 {
    let planner = scenario.study.planner.over_bottom_bar;
    planner.unwrap_or(
        crate::reserve::ReserveInputs::default()
            .over_bottom_bar
            .value,
    )
}

/// A stay of a level at a depth: from, to, depth.
struct Stay {
    from_s: i64,
    to_s: i64,
    msw: f64,
}

/// What a level does, summed up.
#[derive(Default)]
struct LevelSums {
    pressed_m3: f64,
    leaked_m3: f64,
    locked_m3: f64,
    oxygen_m3: f64,
    deepest_msw: f64,
    stays: Vec<Stay>,
}

/// What the plan would draw, bank by bank in the order in which they are drawn.
pub fn planned_gas(scenario: &Scenario) -> Vec<PlannedGas> {
    let levels: Vec<LevelSums> = (0..scenario.plan.levels.len())
        .map(|level| level_sums(scenario, level))
        .collect();
    let over = |f: fn(&LevelSums) -> f64| levels.iter().map(f).sum::<f64>();
    let (divers_m3, bells_m3) = runs(scenario, &levels);
    let m3 = |purpose: Purpose| match purpose {
        Purpose::BlowDown => over(|l| l.pressed_m3),
        Purpose::MakeUp => over(|l| l.leaked_m3 + l.locked_m3),
        Purpose::Oxygen => over(|l| l.oxygen_m3),
        Purpose::DiverGas => divers_m3,
        _ => bells_m3,
    };
    let steel = &scenario.steel;
    let deepest_msw = levels.iter().map(|l| l.deepest_msw).fold(0.0, f64::max);
    let heel_pa = deepest_msw * MSW_PA + over_bottom_bar(scenario) * BAR_PA;
    let kept = steel.reclaim.filter(|_| scenario.plan.reclaim);
    let mut left: Vec<f64> = steel
        .banks
        .iter()
        .map(|b| {
            usable_mol(
                b,
                b.fill_gauge_pa,
                heel_pa.min(b.fill_gauge_pa),
                steel.surface_pa,
            )
        })
        .collect();
    let mut all = Vec::new();
    for Together { purposes, duties } in SUMS {
        let wanted: Vec<f64> = purposes
            .iter()
            .map(|(purpose, _)| m3(*purpose) * COUNTED_AT.mol_per_m3())
            .collect();
        let whole: f64 = wanted.iter().sum();
        let mut rest = whole;
        let mut give = |bank: Option<BankId>, mol: f64| {
            for ((purpose, formula), wanted) in purposes.iter().zip(&wanted) {
                let mol = mol * wanted / whole;
                if mol > 1e-6 {
                    all.push(PlannedGas {
                        bank,
                        purpose: *purpose,
                        mol,
                        formula,
                    });
                }
            }
        };
        for id in in_order(&steel.banks, duties, best_o2(scenario, purposes[0].0)) {
            // What stands by for open circuit is not planned to be drawn.
            let stands_by = kept.is_some_and(|r| r.open_circuit == id);
            let mol = rest.min(left[id.index()]);
            if !stands_by && mol > 0.0 {
                left[id.index()] -= mol;
                rest -= mol;
                give(Some(id), mol);
            }
        }
        if rest > 1e-6 {
            give(None, rest);
        }
    }
    all
}

/// Oxygen that a label is chosen by.
fn best_o2(scenario: &Scenario, purpose: Purpose) -> f64 {
    let msw = scenario.site.working_msw;
    match purpose {
        Purpose::BlowDown => {
            let plan = scenario.rules.compression(msw, &scenario.accepted).ok();
            let lands = |ppo2_bar: f64| (ppo2_bar - 0.21) / (msw.max(0.1) * MSW_PA / BAR_PA);
            let liked = plan.map(|p| p.mix_o2.unwrap_or_else(|| lands(p.ppo2_bar)));
            liked.unwrap_or(MAKE_UP_O2).clamp(0.0, 0.25)
        }
        Purpose::Oxygen => 1.0,
        Purpose::DiverGas => {
            LIKED_IN_WATER_BAR * BAR_PA / (scenario.steel.surface_pa + msw * MSW_PA)
        }
        _ => MAKE_UP_O2,
    }
}

/// Seconds of a span at which it is so late in the day.
fn times_of_day(
    scenario: &Scenario,
    second_of_day: i64,
    (from_s, to_s): (i64, i64),
) -> impl Iterator<Item = i64> {
    let first = (second_of_day - scenario.start_second_of_day - from_s).rem_euclid(DAY_S);
    (from_s + first..to_s).step_by(DAY_S as usize)
}

/// What the locks of a level lose in a span, at the depth that `msw_at` gives for a second, m3: meals go through the smallest
/// lock, laundry and stores through the largest.
fn locked_m3(
    scenario: &Scenario,
    members: &[CompartmentId],
    span: (i64, i64),
    msw_at: &dyn Fn(i64) -> f64,
) -> f64 {
    let steel = &scenario.steel;
    let opens_here = |lock: CompartmentId| {
        let sides = |d: &deepstay_plant::Door| [Some(d.a), d.b];
        let here = |c: &CompartmentId| members.contains(c);
        let mut doors = steel.doors.iter().map(sides);
        doors.any(|s| s.contains(&Some(lock)) && s.iter().flatten().any(here))
    };
    let of = |kind: CompartmentKind| {
        let mut all = (0u8..).map(CompartmentId).zip(&steel.compartments);
        let lock = all.find(|(id, c)| c.kind == kind && opens_here(*id));
        lock.map(|(_, c)| c.volume_m3)
    };
    let (small, large) = (
        of(CompartmentKind::MedicalLock),
        of(CompartmentKind::EquipmentLock),
    );
    let routine = &scenario.plan;
    let meals = routine.meals_s.iter().map(|s| (*s, small.or(large)));
    let loads = routine.stores_s.iter().chain(&routine.laundry_s);
    let loads = loads.map(|s| (*s, large.or(small)));
    let run = |(second, volume_m3): (i64, Option<f64>)| -> f64 {
        let volume_m3 = volume_m3.unwrap_or(0.0);
        let times = times_of_day(scenario, second, span);
        times.map(|s| lock_cycle_m3(volume_m3, msw_at(s))).sum()
    };
    meals.chain(loads).map(run).sum()
}

fn level_sums(scenario: &Scenario, level: usize) -> LevelSums {
    let level = &scenario.plan.levels[level];
    let compartments = &scenario.steel.compartments;
    let volume_m3: f64 = level
        .members
        .iter()
        .map(|c| compartments[c.index()].volume_m3)
        .sum();
    let lives_here = |d: &deepstay_scenario::Diver| level.members.contains(&d.chamber);
    let end_s = scenario.plan.end_s;
    let mut sums = LevelSums::default();
    let (mut at_s, mut msw) = (0, 0.0_f64);
    let stay = |sums: &mut LevelSums, from_s: i64, to_s: i64, msw: f64| {
        if to_s <= from_s || msw <= 0.0 {
            return;
        }
        let time_s = (to_s - from_s) as f64;
        for c in &level.members {
            let plate = &compartments[c.index()];
            let leak = format!("leak of {} in heliox of 4 %", plate.name);
            let leak = scenario.inputs.iter().find(|i| i.name == leak);
            let share = leak.map_or(0.0, |i| i.value / 100.0);
            sums.leaked_m3 += leak_m3(plate.volume_m3, msw, share, time_s);
        }
        sums.oxygen_m3 += breathed_by(scenario, &lives_here, (from_s, to_s));
        sums.locked_m3 += locked_m3(scenario, &level.members, (from_s, to_s), &|_| msw);
        sums.stays.push(Stay { from_s, to_s, msw });
    };
    for step in &level.steps {
        stay(&mut sums, at_s, step.at, msw);
        at_s = step.at;
        match step.what {
            LevelDo::Press(to) | LevelDo::ChangeStorage(to) => {
                sums.pressed_m3 += press_m3(volume_m3, (to - msw).max(0.0));
                msw = to;
                sums.deepest_msw = sums.deepest_msw.max(to);
            }
            LevelDo::Decompress | LevelDo::Abort => {
                if let Some(plan) = scenario.ascent(Ascent::Planned, (msw, 0.0), step.at) {
                    let until_s = step.at + plan.total_s;
                    sums.oxygen_m3 += breathed_by(scenario, &lives_here, (step.at, until_s));
                    sums.oxygen_m3 += bled_m3(volume_m3, msw, &plan.oxygen);
                    let msw_at = |s: i64| {
                        let begun = plan.steps.partition_point(|p| p.start_s <= s - step.at);
                        match begun {
                            0 => msw,
                            n => plan.steps[n - 1].to_msw,
                        }
                    };
                    let span = (step.at, until_s.min(end_s));
                    sums.locked_m3 += locked_m3(scenario, &level.members, span, &msw_at);
                    at_s = until_s;
                }
                msw = 0.0;
            }
        }
    }
    stay(&mut sums, at_s, end_s, msw);
    sums
}

/// Oxygen that those of a level use over a time, as far as they are on board, m3.
fn breathed_by(
    scenario: &Scenario,
    lives_here: &dyn Fn(&deepstay_scenario::Diver) -> bool,
    (from_s, to_s): (i64, i64),
) -> f64 {
    let crew = (0u8..).zip(&scenario.crew).filter(|(_, d)| lives_here(d));
    let each = |(i, _): (u8, &deepstay_scenario::Diver)| {
        let aboard = scenario.plan.aboard.iter().find(|a| a.diver.0 == i);
        let (since_s, until_s) = aboard.map_or((0, i64::MAX), |a| (a.from_s, a.to_s));
        let there_s = (to_s.min(until_s) - from_s.max(since_s)).max(0);
        person_sizing_m3(1.0, there_s as f64)
    };
    crew.map(each).sum()
}

/// Oxygen that is bled with the gas of a decompression, m3.
fn bled_m3(volume_m3: f64, from_msw: f64, oxygen: &[deepstay_rules::OxygenBand]) -> f64 {
    let mut bands = oxygen.to_vec();
    bands.sort_by(|a, b| b.deeper_than_msw.total_cmp(&a.deeper_than_msw));
    let (mut top, mut m3) = (from_msw, 0.0);
    for band in bands.iter().filter(|b| b.deeper_than_msw < from_msw) {
        let to = band.deeper_than_msw.max(0.0);
        if let OxygenHold::Partial { high_bar, .. } = band.hold {
            m3 += decompression_oxygen_m3(volume_m3, high_bar, school_bar(top), school_bar(to));
        }
        top = to;
    }
    m3
}

/// Divers' gas that does not come back, and what bells and trunks take, over the planned runs, m3.
fn runs(scenario: &Scenario, levels: &[LevelSums]) -> (f64, f64) {
    let compartments = &scenario.steel.compartments;
    let reclaim = scenario.steel.reclaim.filter(|_| scenario.plan.reclaim);
    let kept = 1.0 - reclaim.map_or(0.0, |r| r.recovery);
    let (mut divers_m3, mut bells_m3) = (0.0, 0.0);
    for run in &scenario.plan.bell_runs {
        let rate = scenario.rates.rows.iter().find(|r| r.activity == run.work);
        let l_min = rate.map_or(0.0, |r| r.rate.ventilation_l_min);
        let in_water = lengths::times_in_water(run) as f64;
        let time_s = run.in_water_s as f64;
        divers_m3 += breathed_m3(in_water, l_min, run.depth_msw, time_s) * kept;
        let storage_msw = levels
            .iter()
            .flat_map(|l| &l.stays)
            .filter(|s| (s.from_s..s.to_s).contains(&run.at) && s.msw <= run.depth_msw + 1.0)
            .map(|s| s.msw)
            .fold(0.0, f64::max);
        let plate = &compartments[run.bell.index()];
        bells_m3 += press_m3(plate.volume_m3, (run.depth_msw - storage_msw).max(0.0));
        if let Some(bell) = plate.bell {
            bells_m3 += press_m3(compartments[bell.trunk.index()].volume_m3, storage_msw);
        }
    }
    (divers_m3, bells_m3)
}
