//! The life-support log as CSV: the columns of a paper panel log sheet, one row per compartment and
//! log row, and after them what was true, which no paper log holds.

use super::inputs::Inputs;
use super::trims::{Told, Trims};
use crate::kit::table::{bytes, row, table};
use deepstay_core::record::{Entry, LogRow, Station, Teller, What, Whereabouts};
use deepstay_core::units::{CompartmentId, CompartmentKind, DiverId, Quantity, Units, fixed};
use deepstay_core::words::{Names, beside, calibration, remark};

/// Place of the remarks among the columns.
const REMARK: usize = 31;

/// The life-support log: one row per compartment and log row.
pub fn log_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let (subject, units, log) = (inputs.subject, inputs.units, &inputs.record.log);
    let mut out = table();
    row(&mut out, log_heads(units))?;
    let mut board = Board::default();
    let mut last_bank = vec![None; subject.banks.len()];
    let mut last_depth = vec![None; subject.compartments.len()];
    let mut trims = Trims::default();
    let mut acts_from = 0;
    for period in log.periods() {
        if period.rows.is_empty() {
            continue;
        }
        let acts = &log.acts()[acts_from..period.acts.end];
        acts_from = period.acts.end;
        board.watch_acts(acts);
        let told = trims.tell(acts);
        let acts: Vec<(&Entry, Told)> = acts.iter().zip(told).collect();
        let rows = &log.rows()[period.rows.clone()];
        let mut bank_now = last_bank.clone();
        for b in &log.banks()[period.banks.clone()] {
            set(&mut bank_now, b.bank.index(), b.gauge_bar);
        }
        for (i, r) in rows.iter().enumerate() {
            let here = |(e, _): &(&Entry, Told)| match beside(subject, &e.what) {
                Some(c) => {
                    c == r.compartment || (i == 0 && !rows.iter().any(|r| r.compartment == c))
                }
                None => i == 0,
            };
            let mine: Vec<(&Entry, Told)> = acts.iter().copied().filter(here).collect();
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
    let rest = &log.acts()[acts_from..];
    let mut tail = remarks(inputs, rest.iter().zip(trims.tell(rest)));
    if log.left_out() > 0 {
        let after = if tail.is_empty() { "" } else { "; " };
        tail += &format!(
            "{after}{} entries more were counted and not kept",
            log.left_out()
        );
    }
    if !tail.is_empty() {
        let mut cells = vec![String::new(); log_heads(units).len()];
        cells[0] = inputs.outcome.ended_s.to_string();
        cells[1] = subject.time.clock(inputs.outcome.ended_s);
        cells[REMARK] = tail;
        row(&mut out, cells)?;
    }
    bytes(out)
}

fn remarks<'a>(inputs: &Inputs<'_>, acts: impl Iterator<Item = (&'a Entry, Told)>) -> String {
    let subject = inputs.subject;
    let said = acts.filter_map(|(e, told)| {
        let text = remark(subject, inputs.units, e)?;
        let trimmed = match told {
            Told::Within => return None,
            Told::AsItIs => String::new(),
            Told::Puffs { times, last_s } => format!(
                " and shut again, {times} times, last {}",
                subject.time.hour_and_minute(last_s)
            ),
            Told::Trimmed { times, last } => {
                let how = if times == 1 { "once" } else { "times" };
                let count = if times == 1 {
                    String::new()
                } else {
                    format!("{times} ")
                };
                format!(
                    ", trimmed {count}{how}, last to {} %",
                    fixed(last * 100.0, 0)
                )
            }
        };
        let by = by_timetable(inputs, e);
        let at = subject.time.hour_and_minute(e.at);
        Some(format!("{at} {text}{trimmed}{by}"))
    });
    said.collect::<Vec<String>>().join("; ")
}

/// The rule set's rows that a phase goes by, where it has taken up a timetable.
fn by_timetable(inputs: &Inputs<'_>, entry: &Entry) -> String {
    let What::Phase { compartment, .. } = entry.what else {
        return String::new();
    };
    let subject = inputs.subject;
    let rows = inputs.record.rule_rows.timetable(entry.at, compartment);
    let ids: Vec<&str> = rows
        .filter_map(|row| subject.rule_rows.get(row.index()))
        .map(String::as_str)
        .collect();
    if ids.is_empty() {
        return String::new();
    }
    format!(", by {} of {}", ids.join(", "), subject.rule_set)
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
                    station: Station::Saturation,
                } => self.handovers += 1,
                _ => {}
            }
        }
    }

    fn crew(&self, inputs: &Inputs<'_>, at: CompartmentId) -> String {
        let here = (0u8..).zip(&self.places).filter(|(_, p)| **p == Some(at));
        let names: Vec<String> = here
            .map(|(i, _)| inputs.subject.initials(DiverId(i)))
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
    acts: &'a [(&'a Entry, Told)],
    watch: String,
}

fn log_heads(units: Units) -> Vec<String> {
    let u = |q: Quantity| units.scale(q).plain;
    let (depth, gas, bank) = (
        u(Quantity::Depth),
        units.free_scale().plain,
        u(Quantity::GaugePressure),
    );
    let (o2, co2, t) = (
        u(Quantity::PpO2),
        u(Quantity::PpCo2),
        u(Quantity::Temperature),
    );
    [
        "second (s)".into(),
        "clock (vessel day and time)".into(),
        "chamber".into(),
        format!("depth indicated ({depth})"),
        format!("target depth ({depth})"),
        format!("ppO2 primary ({o2})"),
        format!("ppO2 secondary ({o2})"),
        "O2 indicated (%)".into(),
        format!("ppCO2 indicated ({co2})"),
        format!("temperature indicated ({t})"),
        "relative humidity indicated (%)".into(),
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
        "equipment-lock runs".into(),
        "absorbent changes".into(),
        "flushes".into(),
        "showers".into(),
        "divers on BIBS".into(),
        "calibration".into(),
        "remark".into(),
        "watch".into(),
        format!("depth true ({depth})"),
        format!("ppO2 true ({o2})"),
        "O2 true (%)".into(),
        format!("ppCO2 true ({co2})"),
        format!("temperature true ({t})"),
        "relative humidity true (%)".into(),
    ]
    .into()
}

fn log_cells(inputs: &Inputs<'_>, r: &LogRow, sides: LogSides<'_>) -> Vec<String> {
    let (subject, units) = (inputs.subject, inputs.units);
    let shown = |q| units.scale(q).maybe(r.shown(q));
    let reads = |q, teller| units.scale(q).maybe(r.value(q, teller));
    let depth = units.scale(Quantity::Depth);
    let gauge = units.scale(Quantity::GaugePressure);
    let gas = |mol: f64| {
        if mol > 0.0 {
            units.free_scale().digits(mol)
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
        .filter_map(|(e, _)| calibration(&e.what, units))
        .collect();
    let remarks = remarks(inputs, sides.acts.iter().copied());
    let is = |at: CompartmentId, kind| {
        let label = subject.compartments.get(at.index());
        label.is_some_and(|c| c.kind == kind)
    };
    let number = |of: &dyn Fn(&What) -> bool| {
        u32::try_from(sides.acts.iter().filter(|(e, _)| of(&e.what)).count()).unwrap_or(u32::MAX)
    };
    let runs = |kind| {
        number(&|w| matches!(w, What::Routine { compartment, .. } if is(*compartment, kind)))
    };
    let changes = number(&|w| matches!(w, What::Canister { .. }));
    let (fan, hours) = r.scrubber.map_or(("", None), |(fan, h)| {
        (if fan { "on" } else { "off" }, Some(h))
    });
    [
        r.at.to_string(),
        subject.time.clock(r.at),
        subject.compartment(r.compartment),
        shown(Quantity::Depth),
        depth.maybe(r.target_msw),
        reads(Quantity::PpO2, Teller::Primary),
        reads(Quantity::PpO2, Teller::Secondary),
        shown(Quantity::FO2),
        shown(Quantity::PpCo2),
        shown(Quantity::Temperature),
        shown(Quantity::Humidity),
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
        count(runs(CompartmentKind::MedicalLock)),
        count(runs(CompartmentKind::EquipmentLock)),
        count(changes),
        count(r.flushes),
        count(r.showers),
        count(u32::from(r.on_bibs)),
        calibrations.join("; "),
        remarks,
        sides.watch,
        reads(Quantity::Depth, Teller::Truth),
        reads(Quantity::PpO2, Teller::Truth),
        reads(Quantity::FO2, Teller::Truth),
        reads(Quantity::PpCo2, Teller::Truth),
        reads(Quantity::Temperature, Teller::Truth),
        reads(Quantity::Humidity, Teller::Truth),
    ]
    .into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample::Sample;
    use deepstay_core::record::{Phase, Sink};
    use deepstay_core::units::RuleRowId;

    #[test]
    fn a_phase_names_the_table_in_use() {
        let mut sample = Sample::days(3);
        let phase = |e: &Entry| match e.what {
            What::Phase { compartment, phase } => Some((e.at, compartment, phase)),
            _ => None,
        };
        let (at, compartment, begun) = sample
            .record
            .log
            .acts()
            .iter()
            .find_map(phase)
            .expect("a phase begins");
        assert_eq!(begun, Phase::Compression);
        let ids = ["unused", "a.row", "another.row"];
        sample.subject.rule_rows = ids.map(String::from).into();
        for row in [RuleRowId(1), RuleRowId(2)] {
            let timetable_of = Some(compartment);
            let what = What::RuleRow { row, timetable_of };
            sample.record.take(Entry { at, what });
        }
        let log = String::from_utf8(log_csv(&sample.inputs()).expect("laid out")).expect("text");
        assert!(
            log.contains("phase: compression, by a.row, another.row of demonstration"),
            "{log}"
        );
    }
}
