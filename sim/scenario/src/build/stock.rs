//! The gas: banks with what is in them and what their labels say, reclaim and recovery.

use super::{Names, Part, input};
use crate::Input;
use crate::file::{MixFile, Ranged, SpreadFile, StockFile};
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::units::text::Share;
use deepstay_core::units::{BankId, CompartmentKind};
use deepstay_plant::{Bank, Duty, LoopAlarms, Reclaim, Recovery, Steel};
use deepstay_read::{Diagnostics, Section, Wrong};

/// Most pressure in a bank, Pa gauge: past 350 bar the equation of state carries no claim.
const MOST_PA: f64 = 350e5;
/// A loop's tank rings below this share of what its make-up holds, where its file says nothing (house figure).
const LOOP_LOW_SHARE: f64 = 0.8;

/// Fills the spread's banks, and the places that name one.
pub fn fill(
    stock: &Part<StockFile>,
    spread: &Part<SpreadFile>,
    names: &Names,
    steel: &mut Steel,
    inputs: &mut Vec<Input>,
    diagnostics: &mut Diagnostics,
) {
    let Part { file, section } = stock;
    for (i, b) in file.banks.iter().enumerate() {
        let path = format!("banks[{i}]");
        let true_mix = mix(
            &b.contents,
            section,
            &format!("{path}.contents"),
            diagnostics,
        );
        if b.bottles.pressure.0 > MOST_PA {
            let words = "bottles are filled to 350 bar at the most here".to_owned();
            diagnostics.add(section, &format!("{path}.bottles"), Wrong::Value(words));
        }
        if b.bottles.each.0 <= 0.0 {
            let words = "a bottle's volume is more than nothing".to_owned();
            diagnostics.add(section, &format!("{path}.bottles"), Wrong::Value(words));
        }
        if b.duty == Duty::Oxygen && b.label.map_or(true_mix[Species::O2], |l| l.0) < 0.9 {
            let words = "a bank labelled for oxygen has at least 90 % on its label".to_owned();
            let suggestion =
                Some("for a wrong fill, give label: \"100 %\" beside the true contents".to_owned());
            diagnostics.add_with(
                section,
                &format!("{path}.duty"),
                Wrong::Contradiction(words),
                suggestion,
            );
        }
        steel.banks.push(Bank {
            name: b.name.clone(),
            duty: b.duty,
            volume_m3: b.bottles.total_m3(),
            fill_gauge_pa: b.bottles.pressure.0,
            t_k: b.temperature.0,
            true_mix,
            label_o2: b.label.map_or(true_mix[Species::O2], |l| l.0),
            analysed_o2: b.analysed.map(|a| a.0),
        });
    }
    steel.reclaim = reclaim(stock, spread, names, steel, inputs, diagnostics);
    steel.recovery = file.recovery.as_ref().and_then(|r| {
        share(
            inputs,
            "chamber gas recovered in decompression",
            r.recovered,
        );
        let bank = names.bank(&r.bank, section, "recovery.bank", diagnostics)?;
        Some(Recovery {
            bank,
            recovered: r.recovered.value.0,
            lowest_gauge_pa: r.lowest.0,
            trunk_and_locks: r.trunk_and_locks,
        })
    });
}

/// The loop: the spread's tank, and the gas that is in it, makes it up and stands beside it.
fn reclaim(
    stock: &Part<StockFile>,
    spread: &Part<SpreadFile>,
    names: &Names,
    steel: &Steel,
    inputs: &mut Vec<Input>,
    diagnostics: &mut Diagnostics,
) -> Option<Reclaim> {
    let Part { file, section } = stock;
    let r = file.reclaim.as_ref()?;
    share(inputs, "diver gas recovered by reclaim", r.recovery);
    let Some(machine) = &spread.file.reclaim else {
        let words = "the stock has gas for a reclaim, but the spread has none".to_owned();
        let suggestion = Some(
            "add reclaim: (tank: \"1 m3\", working: \"35 bar\", ...) to the spread; `deepstay new six-man` shows one"
                .to_owned(),
        );
        diagnostics.add_with(section, "reclaim", Wrong::Contradiction(words), suggestion);
        return None;
    };
    let charge = mix(&r.charge, section, "reclaim.charge", diagnostics);
    let open_circuit = names.bank(
        &r.open_circuit,
        section,
        "reclaim.open_circuit",
        diagnostics,
    );
    let for_divers = |b: &Bank| matches!(b.duty, Duty::DiverGas | Duty::BottomMix);
    if open_circuit.is_some_and(|b| !for_divers(&steel.banks[b.index()])) {
        let words = format!("{} is not for divers' gas", r.open_circuit);
        let suggestion = Some("name a bank with duty: DiverGas".to_owned());
        diagnostics.add_with(
            section,
            "reclaim.open_circuit",
            Wrong::Contradiction(words),
            suggestion,
        );
    }
    let kept = open_circuit.map(BankId::index);
    let left = |(i, b): (usize, &Bank)| Some(i) != kept && for_divers(b);
    if !steel.banks.iter().enumerate().any(left) {
        let words =
            "no bank is left for the loop's make-up beside the one for open circuit".to_owned();
        let suggestion = Some("add a bank with duty: DiverGas".to_owned());
        diagnostics.add_with(section, "reclaim", Wrong::Contradiction(words), suggestion);
    }
    let trickle = match (&r.trickle, machine.trickle) {
        (Some(name), Some(_)) => {
            let bank = names.bank(name, section, "reclaim.trickle", diagnostics)?;
            if steel.banks[bank.index()].duty != Duty::Oxygen {
                let words = format!("{name} is not for oxygen");
                diagnostics.add(section, "reclaim.trickle", Wrong::Contradiction(words));
            }
            Some(bank)
        }
        (None, None) => None,
        (Some(_), None) => {
            let words = "the spread's reclaim has no valve for a trickle of oxygen".to_owned();
            let suggestion = Some("add trickle: \"0.5 mm\" to the spread's reclaim".to_owned());
            diagnostics.add_with(
                section,
                "reclaim.trickle",
                Wrong::Contradiction(words),
                suggestion,
            );
            None
        }
        (None, Some(_)) => {
            let words =
                "the spread's reclaim has a valve for a trickle of oxygen, and no bank feeds it";
            let suggestion = Some("add trickle: \"NAME\" with a bank of oxygen".to_owned());
            diagnostics.add_with(
                section,
                "reclaim",
                Wrong::Contradiction(words.to_owned()),
                suggestion,
            );
            None
        }
    };
    let least_gauge_pa = machine
        .alarms
        .pressure_low
        .map_or(LOOP_LOW_SHARE * machine.working.0, |least| least.0);
    Some(Reclaim {
        tank: steel.first(CompartmentKind::ReclaimTank)?,
        recovery: r.recovery.value.0,
        working_gauge_pa: machine.working.0,
        charge,
        // Where there is no such bank the scenario is refused; that there is a loop holds for the rest of it.
        open_circuit: open_circuit.unwrap_or(BankId(0)),
        trickle,
        alarms: LoopAlarms {
            low_o2_pa: machine.alarms.oxygen_low.0,
            high_o2_pa: machine.alarms.oxygen_high.0,
            co2_pa: machine.alarms.carbon_dioxide.0,
            least_gauge_pa,
        },
    })
}

fn share(inputs: &mut Vec<Input>, name: &str, r: Ranged<Share>) {
    input(inputs, name.to_owned(), "", (r.value.0, r.low.0, r.high.0));
}

/// A mixture as fractions.
pub fn mix(
    file: &MixFile,
    section: &Section,
    path: &str,
    diagnostics: &mut Diagnostics,
) -> Amounts {
    match file {
        MixFile::Air => Amounts::air(),
        MixFile::Oxygen => pure(Species::O2),
        MixFile::Helium => pure(Species::He),
        MixFile::Heliox(o2) => Amounts::heliox(o2.0),
        MixFile::Mix {
            oxygen,
            nitrogen,
            carbon_dioxide,
            contaminant,
        } => {
            let rest = 1.0 - oxygen.0 - nitrogen.0 - carbon_dioxide.0 - contaminant.0;
            if rest < -1e-9 {
                diagnostics.add(
                    section,
                    path,
                    Wrong::Contradiction("the shares add up to more than the whole".to_owned()),
                );
            }
            let mut x = Amounts::default();
            x[Species::O2] = oxygen.0;
            x[Species::N2] = nitrogen.0;
            x[Species::Co2] = carbon_dioxide.0;
            x[Species::Trace] = contaminant.0;
            x[Species::He] = rest.max(0.0);
            x
        }
    }
}

fn pure(species: Species) -> Amounts {
    let mut x = Amounts::default();
    x[species] = 1.0;
    x
}
