//! The rota as calendar files (RFC 5545), one for everybody and one for each diver: an event a turn, and
//! the decompression. Times are in UTC, so that a reader's own clock shows them right; the ship's clock
//! stands in the text. Nothing in a file depends on when it was written.

use super::inputs::RotaInputs;
use deepstay_core::CAUTION;
use deepstay_core::units::{DiverId, hours};
use deepstay_core::words::Words;
use deepstay_rota::BellRun;
use icalendar::{Calendar, Component, Event, EventLike};
use jiff::Timestamp;

/// The calendar of all turns.
pub fn calendar_of_all(inputs: &RotaInputs<'_>) -> String {
    let mut calendar = empty(&format!("Bell runs, {}", inputs.subject.scenario));
    for (i, turn) in inputs.rota.runs.iter().enumerate() {
        let words = format!("{}: {}", inputs.bell(turn), inputs.crew(turn));
        calendar.push(event(inputs, &format!("turn-{i}"), turn, &words, None));
    }
    calendar.to_string()
}

/// The calendar of one diver: his turns, and his decompressions.
pub fn calendar_of_diver(inputs: &RotaInputs<'_>, diver: DiverId) -> String {
    let initials = inputs.initials(diver);
    let mut calendar = empty(&format!(
        "Bell runs of {initials}, {}",
        inputs.subject.scenario
    ));
    for (i, turn) in inputs.rota.runs.iter().enumerate() {
        let Some(seat) = turn.position_of(diver) else {
            continue;
        };
        let role = seat.role.words();
        let words = format!("Bell run, {role}: {}", inputs.crew(turn));
        calendar.push(event(
            inputs,
            &format!("turn-{i}-{initials}"),
            turn,
            &words,
            Some(diver),
        ));
    }
    let saturations = inputs
        .problem
        .divers
        .get(diver.index())
        .map_or(&[][..], |d| &d.saturations);
    for (i, s) in saturations
        .iter()
        .enumerate()
        .filter(|(_, s)| s.surfaced_s > s.leaves_s)
    {
        let text = format!(
            "Planned from {} to {}, vessel time. {CAUTION}",
            inputs.subject.time.civil(s.leaves_s),
            inputs.subject.time.civil(s.surfaced_s)
        );
        let mut e = timed(
            inputs,
            &format!("decompression-{i}-{initials}"),
            s.leaves_s,
            s.surfaced_s,
        );
        calendar.push(e.summary("Decompression").description(&text).done());
    }
    calendar.to_string()
}

fn empty(name: &str) -> Calendar {
    let mut calendar = Calendar::empty();
    calendar
        .append_property(("VERSION", "2.0"))
        .append_property(("PRODID", "-//Deepstay//Bell-run rota//EN"))
        .append_property(("CALSCALE", "GREGORIAN"))
        .name(name);
    calendar
}

/// An event with its times and a name of its own that stays the same from one writing to the next.
fn timed(inputs: &RotaInputs<'_>, name: &str, from_s: i64, to_s: i64) -> Event {
    let utc = |at_s: i64| {
        let time = Timestamp::from_second(inputs.subject.time.start_unix_s.saturating_add(at_s))
            .unwrap_or_default();
        time.strftime("%Y%m%dT%H%M%SZ").to_string()
    };
    let plain = |text: &str| text.replace(|c: char| !c.is_ascii_alphanumeric(), "-");
    let mut event = Event::new();
    event
        .uid(&format!(
            "{}-{}@deepstay.invalid",
            plain(&inputs.subject.scenario),
            plain(name)
        ))
        .add_property("DTSTAMP", utc(0))
        .add_property("DTSTART", utc(from_s))
        .add_property("DTEND", utc(to_s));
    event
}

fn event(
    inputs: &RotaInputs<'_>,
    name: &str,
    turn: &BellRun,
    words: &str,
    of: Option<DiverId>,
) -> Event {
    let (subject, problem) = (inputs.subject, inputs.problem);
    let mut lines = vec![format!(
        "Ship's clock: leaves {}, returns {}.",
        subject.time.civil(turn.first),
        subject.time.civil(turn.last)
    )];
    for seat in turn
        .positions
        .iter()
        .filter(|s| of.is_none_or(|d| d == s.diver))
    {
        let wet: Vec<String> = seat
            .wet
            .iter()
            .map(|w| {
                format!(
                    "{} to {}",
                    subject.time.hour_and_minute(w.from_s),
                    subject.time.hour_and_minute(w.to_s)
                )
            })
            .collect();
        let wet = if wet.is_empty() {
            String::new()
        } else {
            format!(", in the water {}", wet.join(" and "))
        };
        lines.push(format!(
            "{}: {}{wet}.",
            inputs.initials(seat.diver),
            seat.role.words()
        ));
    }
    let tasks: Vec<String> = turn
        .tasks
        .iter()
        .filter_map(|(task, s)| {
            Some(format!(
                "{} ({} h)",
                problem.tasks.get(*task)?.name,
                hours(*s)
            ))
        })
        .collect();
    if !tasks.is_empty() {
        lines.push(format!(
            "Work at {} msw: {}.",
            turn.depth_msw,
            tasks.join("; ")
        ));
    }
    lines.push(CAUTION.into());
    timed(inputs, name, turn.first, turn.last)
        .summary(words)
        .location(inputs.bell(turn))
        .description(&lines.join("\n"))
        .done()
}
