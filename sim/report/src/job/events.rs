//! What the summary counts one by one: times outside a limit, phases, waits on weather, work at tasks, orders refused, canisters
//! changed, lock runs, analyses of banks, changes of a person's state, and the end. Always metric, as the summary is.

use super::inputs::Inputs;
use crate::kit::places::round;
use crate::kit::table::{bytes, row, table};
use deepstay_core::record::{LimitBy, Outside, Routine, What};
use deepstay_core::units::Units;
use deepstay_core::words::{Names, Words, limit_unit, limited};

/// The heads of the table.
pub const HEADS: [&str; 13] = [
    "event",
    "place",
    "of",
    "side",
    "severity",
    "by",
    "from (s)",
    "from (vessel time)",
    "to (s)",
    "value",
    "limit",
    "unit",
    "rule row",
];

/// One event, without what not all have.
#[derive(Default)]
struct Event<'a> {
    event: &'a str,
    place: String,
    of: &'a str,
    side: &'a str,
    severity: &'a str,
    by: &'a str,
    from_s: i64,
    to_s: Option<i64>,
    value: Option<f64>,
    limit: Option<f64>,
    unit: String,
    rule_row: String,
}

/// One row an event, those of a kind together, in order of time.
pub fn events_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let (subject, record) = (inputs.subject, inputs.record);
    let mut out = table();
    row(&mut out, HEADS)?;
    let mut write = |e: Event<'_>| {
        let number = |value: Option<f64>| value.map(|v| v.to_string()).unwrap_or_default();
        row(
            &mut out,
            [
                e.event.to_owned(),
                e.place,
                e.of.to_owned(),
                e.side.to_owned(),
                e.severity.to_owned(),
                e.by.to_owned(),
                e.from_s.to_string(),
                subject.time.clock(e.from_s),
                e.to_s.map(|s| s.to_string()).unwrap_or_default(),
                number(e.value),
                number(e.limit),
                e.unit,
                e.rule_row,
            ],
        )
    };
    if let Some(taken_up) = &inputs.outcome.taken_up {
        write(Event {
            event: "taken up from a present",
            from_s: taken_up.at_s,
            ..Event::default()
        })?;
    }
    for outside in record.limits.list() {
        write(outside_limit(inputs, &outside))?;
    }
    for phase in record.timeline.phases() {
        write(Event {
            event: "phase",
            place: subject.compartment(phase.compartment),
            of: phase.phase.words(),
            from_s: phase.from_s,
            to_s: phase.to_s,
            ..Event::default()
        })?;
    }
    for wait in record.timeline.weather() {
        write(Event {
            event: "waiting on weather",
            from_s: wait.from_s,
            to_s: wait.to_s,
            ..Event::default()
        })?;
    }
    let work = &inputs.outcome.work;
    for given in &work.given {
        write(Event {
            event: "work",
            place: subject.compartment(given.bell),
            of: work.tasks.get(given.task).map_or("", |t| t.task.as_str()),
            from_s: given.from_s,
            to_s: Some(given.to_s),
            value: Some(given.water_s as f64),
            unit: "s".to_owned(),
            ..Event::default()
        })?;
    }
    for kind in KINDS {
        for act in record.log.acts() {
            if let Some(event) = kind(inputs, &act.what) {
                write(Event {
                    from_s: act.at,
                    ..event
                })?;
            }
        }
    }
    write(Event {
        event: "end",
        from_s: inputs.outcome.ended_s,
        ..Event::default()
    })?;
    bytes(out)
}

fn outside_limit<'a>(inputs: &Inputs<'_>, outside: &Outside) -> Event<'a> {
    let name = outside.key.name;
    let scale = Units::Metric.scale(name.quantity);
    Event {
        event: "outside a limit",
        place: inputs.subject.compartment(name.compartment),
        of: limited(&name),
        side: name.bound.words(),
        severity: name.severity.words(),
        by: outside.key.truth.words(),
        from_s: outside.from_s,
        to_s: outside.to_s,
        value: Some(round(scale.of(outside.furthest), 1e6)),
        limit: Some(round(scale.of(outside.limit), 1e6)),
        unit: limit_unit(&name, Units::Metric),
        rule_row: match name.by {
            LimitBy::Row(id) => {
                let row = inputs.subject.rule_rows.get(id.index());
                row.cloned().unwrap_or_default()
            }
            LimitBy::Rating | LimitBy::Panel(_) | LimitBy::SetPoint => String::new(),
        },
    }
}

/// What makes an event of an entry, if it is of the kind.
type Kind = for<'a> fn(&Inputs<'a>, &What) -> Option<Event<'a>>;

const KINDS: [Kind; 5] = [refused, canister, lock_run, analysed, state];

fn refused<'a>(_: &Inputs<'a>, what: &What) -> Option<Event<'a>> {
    let What::Refused { station, why } = what else {
        return None;
    };
    Some(Event {
        event: "order refused",
        place: station.words().to_owned(),
        of: why.words(),
        ..Event::default()
    })
}

fn canister<'a>(inputs: &Inputs<'a>, what: &What) -> Option<Event<'a>> {
    let What::Canister {
        compartment, hours, ..
    } = *what
    else {
        return None;
    };
    Some(Event {
        event: "canister changed",
        place: inputs.subject.compartment(compartment),
        value: Some(round(hours, 1e6)),
        unit: "h".to_owned(),
        ..Event::default()
    })
}

fn lock_run<'a>(inputs: &Inputs<'a>, what: &What) -> Option<Event<'a>> {
    let What::Routine {
        compartment,
        routine: routine @ (Routine::Meal | Routine::Laundry | Routine::Stores),
        ..
    } = *what
    else {
        return None;
    };
    Some(Event {
        event: "lock run",
        place: inputs.subject.compartment(compartment),
        of: routine.words(),
        ..Event::default()
    })
}

fn analysed<'a>(inputs: &Inputs<'a>, what: &What) -> Option<Event<'a>> {
    let What::Analysed { bank, o2 } = *what else {
        return None;
    };
    Some(Event {
        event: "bank analysed",
        place: inputs.subject.bank(bank),
        value: Some(round(o2 * 100.0, 1e6)),
        unit: "% O2".to_owned(),
        ..Event::default()
    })
}

fn state<'a>(inputs: &Inputs<'a>, what: &What) -> Option<Event<'a>> {
    let What::Fitness {
        diver, to, cause, ..
    } = *what
    else {
        return None;
    };
    Some(Event {
        event: "state of a diver",
        place: inputs.subject.initials(diver),
        of: to.words(),
        by: cause.words(),
        ..Event::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample::Sample;
    use crate::job::summary::Summary;
    use deepstay_core::units::CompartmentId;

    /// Counted by hand from the table, the summary's figures.
    #[test]
    fn what_the_summary_counts_is_there_one_by_one() {
        let sample = Sample::days(3);
        let inputs = sample.inputs();
        let summary = Summary::of(&inputs);
        let text = String::from_utf8(events_csv(&inputs).expect("laid out")).expect("text");
        let of = |event: &str| {
            let begins = format!("{event},");
            text.lines().filter(|l| l.starts_with(&begins)).count() as u64
        };
        let times = |of: &[crate::LimitSummary]| of.iter().map(|l| l.times).sum::<u64>();
        assert_eq!(
            of("outside a limit"),
            times(&summary.limits_crossed) + times(&summary.attentions)
        );
        assert_eq!(of("order refused"), summary.orders_refused);
        let vessels = (0..inputs.subject.compartments.len() as u8).map(CompartmentId);
        let changed = vessels.map(|c| inputs.record.stores.canisters(c).changed);
        assert_eq!(of("canister changed"), changed.sum::<u64>());
        assert_eq!(of("end"), 1);
    }
}
