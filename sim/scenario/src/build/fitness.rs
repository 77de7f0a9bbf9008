//! Whether each gas is fit for its use: what the label and the last analysis of every bank promise is held
//! against the depths at which its duty would have it breathed or put in. What a bank truly holds nobody on
//! board can know; where it is not what the label says, `check` tells the author of the file
//! ([`crate::hidden_fills`]).
//!
//! The window is that in which a gas may serve in an emergency, 0.16 to 1.25 ata of oxygen (US Navy Diving
//! Manual, 15-15: 16 % from 0 to 224 fsw, 4 % from 99 to 998 fsw). It is no range to work in: those are the
//! rule set's.

use super::Part;
use super::plan::Planned;
use crate::LevelDo;
use crate::file::{CrewFile, StockFile};
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::units::{ATM_PA, BankId, MSW_PA, fixed_short};
use deepstay_crew::BailOut;
use deepstay_plant::{Bank, Duty, Steel};
use deepstay_read::{Diagnostics, Wrong};
use deepstay_sums::{EMERGENCY_PPO2_ATA, breathable_msw as window_msw};

/// Oxygen between which a gas can be breathed for a time, Pa.
const BREATHABLE_PA: (f64, f64) = (EMERGENCY_PPO2_ATA.0 * ATM_PA, EMERGENCY_PPO2_ATA.1 * ATM_PA);
/// Least oxygen in what is called oxygen, and most in what is called helium.
const OXYGEN_FROM: f64 = 0.9;
const HELIUM_TO: f64 = 0.01;
/// Oxygen in what is called air.
const AIR: (f64, f64) = (0.19, 0.23);

/// Holds every bank against its duty at the depths of the plan.
pub fn gases(
    stock: &Part<StockFile>,
    planned: &Planned,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) {
    let plan = &planned.plan;
    let steps = plan.levels.iter().flat_map(|level| &level.steps);
    let storage: Vec<f64> = steps
        .filter_map(|step| match step.what {
            LevelDo::Press(d) | LevelDo::ChangeStorage(d) => Some(d),
            LevelDo::Decompress | LevelDo::Abort => None,
        })
        .collect();
    let work: Vec<f64> = plan.bell_runs.iter().map(|run| run.depth_msw).collect();
    let deepest = storage.iter().chain(&work).copied().fold(0.0, f64::max);
    let oxygen_of_bells: Vec<BankId> = bells(steel).filter_map(|b| b.on_board_oxygen).collect();

    for (i, bank) in (0u8..).zip(&steel.banks) {
        for (said, share) in promised(bank) {
            let wrong = if oxygen_of_bells.contains(&BankId(i)) {
                (share < OXYGEN_FROM).then(|| no_oxygen(share))
            } else {
                unfit(bank.duty, share, deepest, steel.surface_pa)
            };
            if let Some(words) = wrong {
                let percent = percent(share);
                let words = format!(
                    "by its {said} `{}` holds {percent} oxygen: {words}",
                    bank.name
                );
                let at = format!("banks[{i}]");
                diagnostics.add(&stock.section, &at, Wrong::Contradiction(words));
            }
        }
    }
    on_board(stock, planned, steel, diagnostics);
    in_the_water(stock, &work, steel, diagnostics);
}

/// The bail-out of a crew at the depths of its runs. Where the crew's file says nothing of it, and what the house fills
/// it with cannot be breathed at the shallowest, it holds the leanest whole per cent of oxygen that can be breathed at all
/// of them.
pub fn bail_out(
    crew: &Part<CrewFile>,
    planned: &Planned,
    steel: &Steel,
    mut bail_out: BailOut,
    diagnostics: &mut Diagnostics,
) -> BailOut {
    let share = bail_out.mix.fractions()[Species::O2];
    let serves = |share: f64, depth_msw: f64| {
        let (from, to) = window_msw(share, steel.surface_pa);
        (from..=to).contains(&depth_msw)
    };
    let runs = planned.plan.bell_runs.iter();
    let depths = runs.map(|run| run.depth_msw);
    let unfit = depths.clone().find(|d| !serves(share, *d));
    match (&crew.file.bail_out, unfit) {
        (_, None) => {}
        (None, Some(_)) => {
            let whole = (1..=100).map(|percent| f64::from(percent) / 100.0);
            let leanest = whole
                .into_iter()
                .find(|o2| depths.clone().all(|d| serves(*o2, d)));
            if let Some(o2) = leanest {
                bail_out.mix = Amounts::heliox(o2);
            }
        }
        (Some(_), Some(depth_msw)) => {
            let words = format!(
                "the bail-out holds {} oxygen, and cannot be breathed at {} msw, where a run goes",
                percent(share),
                fixed_short(depth_msw)
            );
            let window = window_msw(share, steel.surface_pa);
            let remedy = reach(share, window, steel.surface_pa, depth_msw);
            let wrong = Wrong::Contradiction(words);
            diagnostics.add_with(&crew.section, "bail_out.contents", wrong, Some(remedy));
        }
    }
    bail_out
}

fn bells(steel: &Steel) -> impl Iterator<Item = &deepstay_plant::Bell> {
    steel.compartments.iter().filter_map(|c| c.bell.as_ref())
}

/// What is promised of a bank's oxygen, and by what.
fn promised(bank: &Bank) -> impl Iterator<Item = (&'static str, f64)> {
    let analysed = bank.analysed_o2.filter(|a| *a != bank.label_o2);
    std::iter::once(("label", bank.label_o2)).chain(analysed.map(|a| ("last analysis", a)))
}

fn percent(share: f64) -> String {
    let digits = format!("{:.2}", share * 100.0);
    format!("{} %", digits.trim_end_matches('0').trim_end_matches('.'))
}

fn no_oxygen(share: f64) -> String {
    match share > 0.0 {
        true => "it is no oxygen, and would be given as such".to_owned(),
        false => "there is none in it, and it would be given as oxygen".to_owned(),
    }
}

/// Why a gas cannot serve a duty at any depth of the job; none if it can.
fn unfit(duty: Duty, share: f64, deepest_msw: f64, surface_pa: f64) -> Option<String> {
    let (from, to) = window_msw(share, surface_pa);
    match duty {
        Duty::Oxygen => (share < OXYGEN_FROM).then(|| no_oxygen(share)),
        Duty::Helium => (share > HELIUM_TO).then(|| "it is no helium".to_owned()),
        Duty::Air => (!(AIR.0..=AIR.1).contains(&share)).then(|| "it is no air".to_owned()),
        Duty::Treatment | Duty::Emergency | Duty::DiverGas if from > deepest_msw || to < 0.0 => {
            Some("nobody can breathe it at any depth of this job".to_owned())
        }
        Duty::Treatment
        | Duty::Emergency
        | Duty::DiverGas
        | Duty::OnBoard
        | Duty::BottomMix
        | Duty::Calibration
        | Duty::Recovered => None,
    }
}

/// A bell's breathing gas serves wherever the bell goes.
fn on_board(
    stock: &Part<StockFile>,
    planned: &Planned,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) {
    for run in &planned.plan.bell_runs {
        let bell = steel.compartments[run.bell.index()].bell.as_ref();
        let Some(id) = bell.and_then(|b| b.on_board) else {
            continue;
        };
        let Some(bank) = steel.banks.get(id.index()) else {
            continue;
        };
        for (said, share) in promised(bank) {
            let (from, to) = window_msw(share, steel.surface_pa);
            if (from..=to).contains(&run.depth_msw) {
                continue;
            }
            let words = format!(
                "by its {said} `{}` holds {} oxygen, and cannot be breathed at {} msw, where the bell goes",
                bank.name,
                percent(share),
                fixed_short(run.depth_msw)
            );
            let remedy = reach(share, (from, to), steel.surface_pa, run.depth_msw);
            let at = format!("banks[{}]", id.0);
            let wrong = Wrong::Contradiction(words);
            diagnostics.add_with(&stock.section, &at, wrong, Some(remedy));
        }
    }
}

/// Divers in the water have a gas to breathe at every depth they work at.
fn in_the_water(
    stock: &Part<StockFile>,
    work: &[f64],
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) {
    let fits = |depth_msw: f64| {
        steel
            .banks
            .iter()
            .filter(|b| matches!(b.duty, Duty::DiverGas | Duty::BottomMix))
            .any(|bank| {
                promised(bank).all(|(_, share)| {
                    let (from, to) = window_msw(share, steel.surface_pa);
                    (from..=to).contains(&depth_msw)
                })
            })
    };
    if let Some(depth_msw) = work.iter().copied().find(|d| !fits(*d)) {
        let words = format!(
            "no bank holds a gas for divers that can be breathed at {} msw",
            fixed_short(depth_msw)
        );
        let p_pa = steel.surface_pa + depth_msw * MSW_PA;
        let remedy = format!(
            "add one with duty: DiverGas and an oxygen share between {} and {}",
            percent(BREATHABLE_PA.0 / p_pa),
            percent(BREATHABLE_PA.1 / p_pa)
        );
        let wrong = Wrong::Contradiction(words);
        diagnostics.add_with(&stock.section, "banks", wrong, Some(remedy));
    }
}

fn reach(share: f64, (from, to): (f64, f64), surface_pa: f64, depth_msw: f64) -> String {
    let p_pa = surface_pa + depth_msw * MSW_PA;
    let there = format!(
        "{} to {} there (0.16 to 1.25 ata: US Navy Diving Manual, 15-15)",
        percent(BREATHABLE_PA.0 / p_pa),
        percent(BREATHABLE_PA.1 / p_pa)
    );
    match share > 0.0 {
        true => format!("it serves from {from:.0} to {to:.0} msw; fill it with {there}"),
        false => format!("it serves nowhere; fill it with {there}"),
    }
}
