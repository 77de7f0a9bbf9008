//! The tables that other programs read: ledger, bell runs, divers and alarms as CSV. Every column
//! head carries its unit; people are initials.

use super::inputs::Inputs;
use crate::kit::table::{bytes, row, table};
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::{BellGas, BellPhase, Flow};
use deepstay_core::units::{FREE_WORDS, Purpose, fixed};
use deepstay_core::words::{Names, Words, formula, limit_unit, numbered};

/// The gas ledger: opening, each line, closing, residual of each place, and the account of each day.
pub fn ledger_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let (subject, units, ledger) = (inputs.subject, inputs.units, &inputs.record.ledger);
    let gas = units.free_scale();
    let mut out = table();
    let mut heads: Vec<String> = ["record", "day", "from or place", "to", "purpose or side"]
        .map(String::from)
        .into();
    heads.extend(Species::ALL.map(|s| format!("{} (mol)", formula(s))));
    heads.push("all (mol)".into());
    heads.push(format!("all ({}: {FREE_WORDS})", gas.plain));
    row(&mut out, heads)?;
    let mut write =
        |record: &str, day: String, from: String, to: String, purpose: String, moles: &Amounts| {
            let mut cells = vec![record.into(), day, from, to, purpose];
            cells.extend(moles.0.map(moles_text));
            cells.push(moles_text(moles.total()));
            cells.push(fixed(gas.of(moles.total()), 4));
            row(&mut out, cells)
        };
    let none = String::new;
    let closure = ledger.closure();
    for p in &closure.places {
        write(
            "opening",
            none(),
            subject.place(p.place),
            none(),
            none(),
            &p.opening,
        )?;
    }
    for l in ledger.lines() {
        write(
            "moved",
            none(),
            subject.place(l.from),
            subject.place(l.to),
            l.purpose.words().into(),
            &l.moles,
        )?;
    }
    for p in &closure.places {
        write(
            "closing",
            none(),
            subject.place(p.place),
            none(),
            none(),
            &p.closing,
        )?;
    }
    for p in &closure.places {
        write(
            "residual",
            none(),
            subject.place(p.place),
            none(),
            none(),
            &p.residual,
        )?;
    }
    for place in &closure.unclosed {
        write(
            "not closed",
            none(),
            subject.place(*place),
            none(),
            none(),
            &Amounts::ZERO,
        )?;
    }
    for day in ledger.days() {
        for flow in Flow::ALL {
            for purpose in Purpose::ALL {
                let moved = day.moved(flow, purpose);
                if moved != Amounts::ZERO {
                    let side = format!("{}: {}", flow.words(), purpose.words());
                    write("day", day.day.to_string(), none(), none(), side, &moved)?;
                }
            }
        }
    }
    bytes(out)
}

fn moles_text(mol: f64) -> String {
    if mol == 0.0 || mol.abs() >= 1e-4 {
        fixed(mol, 6)
    } else {
        format!("{mol:.3e}")
    }
}

/// What stands for a run in the row of gas that no run used.
pub const OUTSIDE_RUNS: &str = "outside the runs";

/// The bell log: one row per run, and one of the gas that bells and trunks moved outside them.
pub fn bell_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let (subject, gas) = (inputs.subject, inputs.units.free_scale());
    let phases = all_phases();
    let mut out = table();
    let mut heads: Vec<String> = [
        "bell",
        "run",
        "end",
        "why",
        "divers (initials)",
        "planned start (vessel time)",
        "start (s)",
        "start (vessel time)",
        "over (vessel time)",
        "start to end (min)",
        "seal to seal (min)",
        "in the water, all divers (min)",
    ]
    .map(String::from)
    .into();
    heads.extend(phases.iter().map(|p| format!("{} (min)", p.words())));
    let purposes = [Purpose::DiverGas, Purpose::BellAndTrunk, Purpose::Oxygen];
    heads.extend(
        purposes
            .iter()
            .map(|p| format!("{} drawn ({})", p.words(), gas.plain)),
    );
    heads.push(format!("all drawn ({})", gas.plain));
    for flow in [Flow::Returned, Flow::Reclaimed] {
        heads.push(format!("{} ({})", flow.words(), gas.plain));
    }
    let lost = [Purpose::DiverGas, Purpose::TrunkVent, Purpose::BellSpill];
    heads.extend(
        lost.iter()
            .map(|p| format!("{} lost ({})", p.words(), gas.plain)),
    );
    heads.push(format!("all lost ({})", gas.plain));
    row(&mut out, heads)?;
    let minutes = |s: Option<i64>| s.map(|s| fixed(s as f64 / 60.0, 1)).unwrap_or_default();
    let of_gas = |moved: &BellGas| {
        let mut cells: Vec<String> = purposes.map(|p| gas.digits(moved.drawn_mol(p))).into();
        cells.push(gas.digits(moved.all_drawn_mol()));
        cells.push(gas.digits(moved.returned_mol()));
        cells.push(gas.digits(moved.reclaimed_mol()));
        cells.extend(lost.map(|p| gas.digits(moved.lost_mol(p))));
        cells.push(gas.digits(moved.all_lost_mol()));
        cells
    };
    for run in inputs.record.bell.runs() {
        let planned = subject
            .planned
            .iter()
            .find(|p| (p.bell, p.run) == (run.bell, run.run));
        // Nobody was in the bell of a run that was cancelled: those who were to go are named.
        let divers = planned
            .filter(|_| run.divers.is_empty())
            .map_or(&run.divers, |p| &p.divers);
        let names: Vec<String> = divers.iter().map(|d| subject.initials(*d)).collect();
        let clock = |s: Option<i64>| s.map(|s| subject.time.clock(s)).unwrap_or_default();
        let mut cells = vec![
            subject.compartment(run.bell),
            numbered(run.run).to_string(),
            run.end().words().into(),
            run.stopped
                .map(|(why, _)| why.words().into())
                .unwrap_or_default(),
            names.join(" "),
            clock(planned.map(|p| p.at_s)),
            run.from_s().map(|s| s.to_string()).unwrap_or_default(),
            clock(run.from_s()),
            clock(run.done_s()),
            minutes(run.done_s().zip(run.from_s()).map(|(b, a)| b - a)),
            minutes(run.seal_to_seal_s()),
            minutes(Some(run.water_s)),
        ];
        for phase in &phases {
            let rows = || {
                run.phases
                    .iter()
                    .filter(|p| p.phase == *phase && p.to_s.is_some())
            };
            let spent: i64 = rows().map(|p| p.to_s.unwrap_or(p.from_s) - p.from_s).sum();
            cells.push(minutes(rows().next().map(|_| spent)));
        }
        cells.extend(of_gas(&run.gas));
        row(&mut out, cells)?;
    }
    let outside = inputs.record.bell.outside_runs();
    if !outside.is_nothing() {
        let mut cells = vec![String::new(); 12 + phases.len()];
        cells[0] = "all bells and trunks".into();
        cells[2] = OUTSIDE_RUNS.into();
        cells.extend(of_gas(&outside));
        row(&mut out, cells)?;
    }
    bytes(out)
}

/// The phases of a bell run that last, in order.
pub fn all_phases() -> [BellPhase; 15] {
    use BellPhase::*;
    [
        Checks,
        Transfer,
        Seal,
        TrunkVented,
        Lowering,
        DoorOpen,
        FirstOut,
        FirstBack,
        SecondOut,
        SecondBack,
        BottomSeal,
        Recovery,
        Mating,
        TrunkPressed,
        TransferBack,
    ]
}

/// The divers: one row each.
pub fn divers_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let mut out = table();
    row(
        &mut out,
        [
            "diver (initials)",
            "under pressure (h)",
            "in bell and water (h)",
            "in water (h)",
            "bell runs",
            "lock-outs",
            "longest in bell and water (h)",
            "shortest rest between runs (h)",
            "on BIBS (h)",
            "reports of trouble",
            "oxygen used (mol)",
            "carbon dioxide given (mol)",
            "oxygen dose (UPTD: shown, never prescribed)",
            "worst state (true; display and training only)",
            "of what",
            "worst state from",
        ],
    )?;
    let hours = |s: i64| fixed(s as f64 / 3600.0, 2);
    let maybe = |v: Option<f64>| v.map(|v| fixed(v, 2)).unwrap_or_default();
    for d in inputs.record.divers.rows(inputs.outcome.ended_s) {
        let worst = inputs.record.harm.of(d.diver).map(|one| one.worst);
        row(
            &mut out,
            [
                inputs.subject.initials(d.diver),
                hours(d.pressure_s),
                hours(d.bell_s),
                hours(d.water_s),
                d.bell_runs.to_string(),
                d.lock_outs.to_string(),
                hours(d.longest_bell_s),
                d.shortest_rest_s.map(hours).unwrap_or_default(),
                hours(d.bibs_s),
                d.complaints.to_string(),
                maybe(d.o2_mol),
                maybe(d.co2_mol),
                maybe(d.uptd),
                worst.map_or("well", |w| w.to.words()).to_owned(),
                worst.map_or("", |w| w.cause.words()).to_owned(),
                worst.map_or_else(String::new, |w| inputs.subject.time.clock(w.at_s)),
            ],
        )?;
    }
    bytes(out)
}

/// The alarms: one row each.
pub fn alarms_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let subject = inputs.subject;
    let mut out = table();
    row(
        &mut out,
        [
            "alarm",
            "severity",
            "raised (s)",
            "raised (vessel time)",
            "value when raised",
            "set point",
            "unit",
            "delay (s)",
            "sounds at",
            "acknowledged after (s)",
            "returned after (s)",
            "stood (s)",
            "standing at end",
        ],
    )?;
    for a in inputs.record.alarms.list() {
        let scale = inputs.units.scale(a.name.quantity);
        let after = |s: Option<i64>| s.map(|s| (s - a.raised_s).to_string()).unwrap_or_default();
        row(
            &mut out,
            [
                subject.limit(&a.name),
                a.severity().words().into(),
                a.raised_s.to_string(),
                subject.time.clock(a.raised_s),
                scale.digits(a.value),
                scale.digits(a.setting.set_point),
                limit_unit(&a.name, inputs.units),
                a.setting.delay_s.to_string(),
                subject.sounds(a.setting.sounds),
                after(a.acknowledged_s),
                after(a.returned_s),
                a.stood_s(inputs.outcome.ended_s).to_string(),
                if a.returned_s.is_none() { "yes" } else { "no" }.into(),
            ],
        )?;
    }
    bytes(out)
}
