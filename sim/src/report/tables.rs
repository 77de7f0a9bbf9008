//! The tables that other programs read: log, ledger, bell runs, divers and alarms as CSV. Every
//! column head carries its unit; people are initials.

use super::inputs::{Inputs, Units};
use super::remarks::{beside, calibration, remark};
use super::say::{FREE_WORDS, fixed};
use super::words::{Words, formula};
use crate::gas::{Amounts, Species};
use crate::record::{AlarmSource, BellPhase, Entry, Flow, LogRow, Seat, Teller, What, Whereabouts};
use crate::units::{CompartmentId, Purpose, Quantity};

type Table = csv::Writer<Vec<u8>>;

fn table() -> Table {
    csv::Writer::from_writer(Vec::new())
}

fn row<I: IntoIterator<Item = T>, T: AsRef<[u8]>>(
    table: &mut Table,
    cells: I,
) -> Result<(), csv::Error> {
    table.write_record(cells)
}

fn bytes(table: Table) -> Result<Vec<u8>, csv::Error> {
    table
        .into_inner()
        .map_err(|e| csv::Error::from(e.into_error()))
}

/// The life-support log: one row per compartment and log row.
pub fn log_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let (subject, units, log) = (inputs.subject, inputs.units, &inputs.record.log);
    let mut out = table();
    row(&mut out, log_heads(units))?;
    let mut board = Board::default();
    let mut last_bank = vec![None; subject.banks.len()];
    let mut last_depth = vec![None; subject.vessels.len()];
    for period in log.periods() {
        let acts = &log.acts()[period.acts.clone()];
        board.watch_acts(acts);
        let rows = &log.rows()[period.rows.clone()];
        let mut bank_now = last_bank.clone();
        for b in &log.banks()[period.banks.clone()] {
            set(&mut bank_now, b.bank.index(), b.gauge_bar);
        }
        for (i, r) in rows.iter().enumerate() {
            let here = |e: &&Entry| match beside(subject, &e.what) {
                Some(c) => {
                    c == r.compartment || (i == 0 && !rows.iter().any(|r| r.compartment == c))
                }
                None => i == 0,
            };
            let mine: Vec<&Entry> = acts.iter().filter(here).collect();
            let bank = r.gas_bank.filter(|_| r.gas_added_mol > 0.0);
            let gauge =
                |list: &[Option<f64>]| bank.and_then(|b| list.get(b.index()).copied().flatten());
            let cells = log_cells(
                inputs,
                r,
                LogSides {
                    crew: board.crew(inputs, r.compartment),
                    bank: bank.map(|b| subject.bank(b)).unwrap_or_default(),
                    bank_before: gauge(&last_bank),
                    bank_after: gauge(&bank_now),
                    depth_before: last_depth.get(r.compartment.index()).copied().flatten(),
                    acts: &mine,
                    watch: board.watch(inputs),
                },
            );
            row(&mut out, cells)?;
            if let Some(depth) = r.shown(Quantity::Depth) {
                set(&mut last_depth, r.compartment.index(), depth);
            }
        }
        last_bank = bank_now;
    }
    bytes(out)
}

fn set(list: &mut Vec<Option<f64>>, index: usize, value: f64) {
    if index >= list.len() {
        list.resize(index + 1, None);
    }
    list[index] = Some(value);
}

/// Who is where, and which watch is on, as the acts tell it.
#[derive(Default)]
struct Board {
    places: Vec<Option<CompartmentId>>,
    handovers: usize,
}

impl Board {
    fn watch_acts(&mut self, acts: &[Entry]) {
        for act in acts {
            match act.what {
                What::Diver { diver, to } => {
                    if diver.index() >= self.places.len() {
                        self.places.resize(diver.index() + 1, None);
                    }
                    self.places[diver.index()] = match to {
                        Whereabouts::In(c) => Some(c),
                        Whereabouts::Deck | Whereabouts::Water(_) => None,
                    };
                }
                What::Handover {
                    seat: Seat::Saturation,
                } => self.handovers += 1,
                _ => {}
            }
        }
    }

    fn crew(&self, inputs: &Inputs<'_>, at: CompartmentId) -> String {
        let here = (0u8..).zip(&self.places).filter(|(_, p)| **p == Some(at));
        let names: Vec<String> = here
            .map(|(i, _)| inputs.subject.initials(crate::units::DiverId(i)))
            .collect();
        names.join(" ")
    }

    fn watch(&self, inputs: &Inputs<'_>) -> String {
        let watches = &inputs.subject.watches;
        if watches.is_empty() {
            String::new()
        } else {
            watches[self.handovers % watches.len()].clone()
        }
    }
}

/// What a log row needs from beside it.
struct LogSides<'a> {
    crew: String,
    bank: String,
    bank_before: Option<f64>,
    bank_after: Option<f64>,
    depth_before: Option<f64>,
    acts: &'a [&'a Entry],
    watch: String,
}

fn log_heads(units: Units) -> Vec<String> {
    let u = |q: Quantity| units.scale(q).plain;
    let (depth, gas, bank) = (
        u(Quantity::Depth),
        units.free_gas().plain,
        u(Quantity::GaugePressure),
    );
    let (o2, co2, t) = (
        u(Quantity::PpO2),
        u(Quantity::PpCo2),
        u(Quantity::Temperature),
    );
    [
        "second (s)".into(),
        "clock (ship's day and time)".into(),
        "chamber".into(),
        format!("depth shown ({depth})"),
        format!("depth true ({depth})"),
        format!("target depth ({depth})"),
        format!("ppO2 primary ({o2})"),
        format!("ppO2 secondary ({o2})"),
        format!("ppO2 true ({o2})"),
        "O2 shown (%)".into(),
        "O2 true (%)".into(),
        format!("ppCO2 shown ({co2})"),
        format!("ppCO2 true ({co2})"),
        format!("temperature shown ({t})"),
        format!("temperature true ({t})"),
        "relative humidity shown (%)".into(),
        "relative humidity true (%)".into(),
        "divers in chamber".into(),
        "divers (initials)".into(),
        "scrubber fan".into(),
        "absorbent (h)".into(),
        format!("O2 added ({gas})"),
        "O2 valve openings".into(),
        format!("gas added ({gas})"),
        "gas bank".into(),
        format!("bank before ({bank} gauge)"),
        format!("bank after ({bank} gauge)"),
        format!("bled ({gas})"),
        format!("depth before bleed ({depth})"),
        format!("depth after bleed ({depth})"),
        "medical-lock runs".into(),
        "flushes".into(),
        "showers".into(),
        "divers on BIBS".into(),
        "calibration".into(),
        "remark".into(),
        "watch".into(),
    ]
    .into()
}

fn log_cells(inputs: &Inputs<'_>, r: &LogRow, sides: LogSides<'_>) -> Vec<String> {
    let (subject, units) = (inputs.subject, inputs.units);
    let shown = |q| units.scale(q).maybe(r.shown(q));
    let is = |q, teller| units.scale(q).maybe(r.value(q, teller));
    let depth = units.scale(Quantity::Depth);
    let gauge = units.scale(Quantity::GaugePressure);
    let gas = |mol: f64| {
        if mol > 0.0 {
            units.free_gas().digits(mol)
        } else {
            String::new()
        }
    };
    let count = |n: u32| if n > 0 { n.to_string() } else { String::new() };
    let bled = |d: Option<f64>| {
        if r.bled_mol > 0.0 {
            depth.maybe(d)
        } else {
            String::new()
        }
    };
    let calibrations: Vec<String> = sides
        .acts
        .iter()
        .filter_map(|e| calibration(&e.what, units))
        .collect();
    let remarks: Vec<String> = sides
        .acts
        .iter()
        .filter_map(|e| {
            remark(subject, units, e).map(|text| format!("{} {text}", &subject.clock(e.at)[4..]))
        })
        .collect();
    let (fan, hours) = r.scrubber.map_or(("", None), |(fan, h)| {
        (if fan { "on" } else { "off" }, Some(h))
    });
    [
        r.at.to_string(),
        subject.clock(r.at),
        subject.vessel(r.compartment),
        shown(Quantity::Depth),
        is(Quantity::Depth, Teller::Truth),
        depth.maybe(r.target_msw),
        is(Quantity::PpO2, Teller::Primary),
        is(Quantity::PpO2, Teller::Secondary),
        is(Quantity::PpO2, Teller::Truth),
        shown(Quantity::FO2),
        is(Quantity::FO2, Teller::Truth),
        shown(Quantity::PpCo2),
        is(Quantity::PpCo2, Teller::Truth),
        shown(Quantity::Temperature),
        is(Quantity::Temperature, Teller::Truth),
        shown(Quantity::Humidity),
        is(Quantity::Humidity, Teller::Truth),
        r.divers.map(|n| n.to_string()).unwrap_or_default(),
        sides.crew,
        fan.into(),
        hours.map(|h| fixed(h, 1)).unwrap_or_default(),
        gas(r.o2_added_mol),
        count(r.o2_openings),
        gas(r.gas_added_mol),
        sides.bank,
        gauge.maybe(sides.bank_before),
        gauge.maybe(sides.bank_after),
        gas(r.bled_mol),
        bled(sides.depth_before),
        bled(r.shown(Quantity::Depth)),
        count(r.lock_runs),
        count(r.flushes),
        count(r.showers),
        count(u32::from(r.on_bibs)),
        calibrations.join("; "),
        remarks.join("; "),
        sides.watch,
    ]
    .into()
}

/// The gas ledger: opening, each line, closing, residual of each place, and the account of each day.
pub fn ledger_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let (subject, units, ledger) = (inputs.subject, inputs.units, &inputs.record.ledger);
    let gas = units.free_gas();
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

/// The bell log: one row per run.
pub fn bell_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let (subject, gas) = (inputs.subject, inputs.units.free_gas());
    let phases = all_phases();
    let mut out = table();
    let mut heads: Vec<String> = [
        "bell",
        "run",
        "end",
        "why",
        "divers (initials)",
        "start (s)",
        "start (ship's clock)",
        "over (ship's clock)",
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
    heads.push(format!("back to banks ({})", gas.plain));
    let lost = [Purpose::DiverGas, Purpose::TrunkVent, Purpose::BellSpill];
    heads.extend(
        lost.iter()
            .map(|p| format!("{} lost ({})", p.words(), gas.plain)),
    );
    heads.push(format!("all lost ({})", gas.plain));
    row(&mut out, heads)?;
    let minutes = |s: Option<i64>| s.map(|s| fixed(s as f64 / 60.0, 1)).unwrap_or_default();
    for run in inputs.record.bell.runs() {
        let names: Vec<String> = run.divers.iter().map(|d| subject.initials(*d)).collect();
        let clock = |s: Option<i64>| s.map(|s| subject.clock(s)).unwrap_or_default();
        let mut cells = vec![
            subject.vessel(run.bell),
            run.run.to_string(),
            run.end().words().into(),
            run.stopped
                .map(|(why, _)| why.words().into())
                .unwrap_or_default(),
            names.join(" "),
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
        cells.extend(purposes.map(|p| gas.digits(run.drawn_mol(p))));
        cells.push(gas.digits(run.phases.iter().map(|p| p.returned_mol).sum()));
        cells.extend(lost.map(|p| gas.digits(run.lost_mol(p))));
        cells.push(gas.digits(run.phases.iter().map(|p| p.lost_mol).sum()));
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
        ],
    )?;
    let hours = |s: i64| fixed(s as f64 / 3600.0, 2);
    let maybe = |v: Option<f64>| v.map(|v| fixed(v, 2)).unwrap_or_default();
    for d in inputs.record.divers.rows(inputs.outcome.ended_s) {
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
            "raised (s)",
            "raised (ship's clock)",
            "value when raised",
            "unit",
            "acknowledged after (s)",
            "stood (s)",
            "standing at end",
        ],
    )?;
    for a in inputs.record.alarms.list() {
        let quantity = match a.source {
            AlarmSource::Reading(_, q, _) => q,
            AlarmSource::Bank(_) => Quantity::GaugePressure,
        };
        let scale = inputs.units.scale(quantity);
        row(
            &mut out,
            [
                subject.alarm(a.source),
                a.raised_s.to_string(),
                subject.clock(a.raised_s),
                scale.digits(a.value),
                scale.plain.into(),
                a.acknowledged_s
                    .map(|s| (s - a.raised_s).to_string())
                    .unwrap_or_default(),
                a.stood_s(inputs.outcome.ended_s).to_string(),
                if a.normal_s.is_none() { "yes" } else { "no" }.into(),
            ],
        )?;
    }
    bytes(out)
}
