//! The sections of the page that speak of limits, chambers, bell, divers, the course of the job and
//! the sources.

pub mod alarms;
pub mod gas;
pub mod hours;
pub mod planned;
pub mod posted;
pub mod stores;

use super::bell_chart;
use super::inputs::Inputs;
use super::trend::Trends;
use crate::explain::{Cells, apart, id};
use crate::provenance::status_words;
use crate::subject::Subject;
use deepstay_core::record::{Fitness, RunEnd, Severity};
use deepstay_core::units::{
    CompartmentId, CompartmentKind, Purpose, Truth, about, fixed, hours, span,
};
use deepstay_core::words::{Names, Words, limit_words, limited};
use deepstay_rules::Status;
use maud::{Markup, PreEscaped, html};

/// Most changes of one person's state that the page shows.
const MOST_CHANGES: usize = 40;

/// Limits that were crossed, true and indicated apart, the gravest first.
pub fn limits(inputs: &Inputs<'_>, cells: &Cells) -> Markup {
    let (subject, end_s) = (inputs.subject, inputs.outcome.ended_s);
    let mut totals = inputs.record.limits.totals(end_s);
    totals.sort_by_key(|l| std::cmp::Reverse(l.key.name.severity));
    let named = |l: &deepstay_core::record::LimitTotal| {
        let mine = inputs.limits.iter().find(|b| b.name == l.key.name);
        mine.map_or((String::new(), String::new()), |b| {
            (b.label.clone(), b.source.clone())
        })
    };
    html! {
        h2 { "Limits crossed" }
        @if totals.is_empty() {
            p { "None, neither truly nor as indicated, and no value passed that calls for attention." }
        } @else {
            table {
                thead { tr {
                    th { "chamber" } th { "severity" } th { "limit" } th.n { "set at" } th { "by" } th.n { "times" }
                    th.n { "outside" } th.n { "furthest" } th { "first" } th { "what it is, and where it comes from" }
                } }
                tbody { @for l in &totals {
                    @let scale = inputs.units.scale(l.key.name.quantity);
                    @let (label, source) = named(l);
                    @let (list, row) = limit_row(subject, l);
                    tr title=(id("job", &[list, &row])) {
                        td.w { (subject.compartment(l.key.name.compartment)) }
                        td { @if l.key.name.severity == Severity::Attention { "attention" } @else { b { (l.key.name.severity.words()) } } }
                        td.w { (limit_words(&l.key.name)) }
                        (cells.figure(&[list, &row, "limit"], scale.text(l.limit)))
                        td { @if l.key.truth == Truth::True { b { "true" } } @else { "indicated" } }
                        (cells.figure(&[list, &row, "times"], l.times))
                        (cells.figure(&[list, &row, "minutes_outside"], span(l.outside_s)))
                        (cells.figure(&[list, &row, "furthest"], scale.text(l.furthest)))
                        td.w { (subject.time.clock(l.first_s)) }
                        td { (label) @if !source.is_empty() { ": " (source) } @else if label.is_empty() { "not among the limits handed to this report" } }
                    }
                } }
            }
            p.note { "A limit crossed truly and not as indicated is one that nobody on board could see; one crossed as indicated and not truly is an instrument's doing. A true value counts as past its limit from one step of its instrument beyond it, and as back when it has come back by the instrument's accuracy. What calls for attention only is counted, and puts no job out of limits." }
        }
    }
}

/// The list that a limit's figures stand in, and its row there.
fn limit_row(subject: &Subject, l: &deepstay_core::record::LimitTotal) -> (&'static str, String) {
    let name = &l.key.name;
    let (place, of) = (subject.compartment(name.compartment), limited(name));
    let (side, by) = (name.bound.words(), l.key.truth.words());
    match name.severity {
        Severity::Attention => ("attentions", format!("{place} {of} {side} {by}")),
        grave => (
            "limits_crossed",
            format!("{place} {of} {side} {} {by}", grave.words()),
        ),
    }
}

/// Trends of every chamber.
pub fn chambers(inputs: &Inputs<'_>) -> Markup {
    let outside = inputs.record.limits.list();
    let lived = |kind| {
        use CompartmentKind::*;
        matches!(kind, Living | Transfer | Bell | Rescue)
    };
    let pictures = (0u8..)
        .zip(&inputs.subject.compartments)
        .filter_map(|(i, vessel)| {
            let trends = Trends::of(inputs, CompartmentId(i), &outside)?;
            Some((vessel, trends.draw(lived(vessel.kind))))
        });
    let pictures: Vec<_> = pictures.collect();
    html! {
        h2 { "Chambers" }
        p.note {
            "Black: as indicated. Thick grey: target depth. Blue dashes: true, drawn only where it lies apart from what was indicated. "
            "Grey ground with an edge: beyond a limit. Bars under a panel: times outside a limit, filled as indicated, hollow as true. Depth grows downwards."
        }
        @for (vessel, picture) in &pictures {
            h3 { (vessel.name) }
            (PreEscaped(picture))
        }
        @if pictures.is_empty() { p { "Nothing was logged." } }
        (limit_table(inputs))
    }
}

fn limit_table(inputs: &Inputs<'_>) -> Markup {
    let mut lines: Vec<(String, &super::inputs::LimitBand, Vec<CompartmentId>)> = Vec::new();
    // Those of depth in a bell go along with each run.
    let kept = |b: &&super::inputs::LimitBand| b.to_s > b.from_s;
    for band in inputs.limits.iter().filter(kept) {
        let key = format!(
            "{} {} {} {}",
            limit_words(&band.name),
            band.value,
            band.label,
            band.source
        );
        match lines.iter_mut().find(|(k, ..)| *k == key) {
            Some((_, _, at)) if at.contains(&band.name.compartment) => {}
            Some((_, _, at)) => at.push(band.name.compartment),
            None => lines.push((key, band, vec![band.name.compartment])),
        }
    }
    html! { @if !lines.is_empty() {
        h3 { "Limits drawn above" }
        table title=(apart::LIMIT) {
            thead { tr { th { "limit" } th.n { "set at" } th { "chambers" } th { "what it is" } th { "source" } } }
            tbody { @for (_, band, at) in &lines { tr {
                td.w { (limit_words(&band.name)) }
                td.n { (inputs.units.scale(band.name.quantity).text(band.value)) }
                td { (at.iter().map(|c| inputs.subject.compartment(*c)).collect::<Vec<_>>().join(", ")) }
                td { (band.label) }
                td { (band.source) }
            } } }
        }
    } }
}

/// The bell runs.
pub fn bell(inputs: &Inputs<'_>) -> Markup {
    let runs = inputs.record.bell.runs();
    let gas = inputs.units.free_scale();
    let made: Vec<_> = runs.iter().filter(|r| r.end() == RunEnd::Made).collect();
    let mean = |value: &dyn Fn(&deepstay_core::record::BellRun) -> f64| {
        if made.is_empty() {
            0.0
        } else {
            made.iter().map(|r| value(r)).sum::<f64>() / made.len() as f64
        }
    };
    html! {
        h2 { "Bell runs" }
        @match bell_chart::draw(inputs) {
            None => { p { "None." } }
            Some(picture) => {
                (PreEscaped(picture))
                @if !made.is_empty() {
                    p {
                        "A run that was made took on average " (hours(mean(&|r| r.seal_to_seal_s().unwrap_or(0) as f64).round() as i64)) " h seal to seal and "
                        (hours(mean(&|r| r.water_s as f64).round() as i64)) " diver-hours in the water; it drew "
                        (about(gas.of(mean(&|r| r.gas.drawn_mol(Purpose::DiverGas))))) " " (gas.unit) " of divers' gas and "
                        (about(gas.of(mean(&|r| r.gas.drawn_mol(Purpose::BellAndTrunk))))) " " (gas.unit) " for bell and trunk, and lost "
                        (about(gas.of(mean(&|r| r.gas.all_lost_mol())))) " " (gas.unit) " (free gas). Each phase of each run is in bell-runs.csv."
                    }
                }
                @let outside = inputs.record.bell.outside_runs();
                @if !outside.is_nothing() {
                    p.note {
                        "Left out of the runs, and a row of its own in bell-runs.csv: "
                        (about(gas.of(outside.all_drawn_mol()))) " " (gas.unit) " drawn and " (about(gas.of(outside.all_lost_mol()))) " " (gas.unit)
                        " lost by bells and trunks between them, the first pressing and the last vent among it."
                    }
                }
            }
        }
    }
}

/// Whether a figure is to be checked before it is believed.
fn weak(status: Status) -> bool {
    matches!(status, Status::Recalled | Status::SecondHand)
}

/// Who was not well all the time, change by change.
fn unwell(inputs: &Inputs<'_>) -> Markup {
    let subject = inputs.subject;
    html! {
        @if inputs.record.harm.unwell().next().is_some() {
            h3 { "Who came to harm, or nearly" }
            table title="job/people_unwell" {
                thead { tr { th { "diver" } th { "from" } th { "state (true)" } th { "of what" } } }
                tbody {
                    @for one in inputs.record.harm.unwell() {
                        @for change in one.changes.iter().take(MOST_CHANGES) { tr {
                            td { (subject.initials(one.diver)) } td { (subject.time.clock(change.at_s)) }
                            td { @if change.to == Fitness::Well { "well again" } @else { (change.to.words()) } }
                            td { (change.cause.words()) }
                        } }
                        @if one.count > MOST_CHANGES as u64 { tr {
                            td { (subject.initials(one.diver)) }
                            td colspan="3" { (one.count - MOST_CHANGES as u64) " more changes" }
                        } }
                    }
                }
            }
            p.note {
                "Display and training only: an average person with a wide spread, by published and house figures. No limit to work to, no treatment, no medical rule."
            }
            details {
                summary { "The figures by which people come to harm here, and where each comes from" }
                table {
                    thead { tr { th { "what it is" } th { "document" } th { "status" } } }
                    tbody { @for figure in &subject.harm { tr.weak[weak(figure.status)] {
                        td { (figure.meaning) } td { (figure.source) } td.status { (status_words(figure.status)) }
                    } } }
                }
            }
        }
    }
}

/// The work list: what each task had, and when it was done beside the plan.
pub fn work(inputs: &Inputs<'_>, cells: &Cells) -> Markup {
    let (subject, work) = (inputs.subject, &inputs.outcome.work);
    let at =
        |s: Option<i64>, none: &str| s.map_or_else(|| none.to_owned(), |s| subject.time.clock(s));
    let late = work.done_s().zip(work.planned_s());
    let weather_s: i64 = inputs
        .record
        .timeline
        .weather()
        .iter()
        .map(|w| w.to_s.unwrap_or(inputs.outcome.ended_s) - w.from_s)
        .sum();
    html! { @if !work.tasks.is_empty() {
        h2 { "Work" }
        table {
            thead { tr { th { "task" } th.n { "takes (h)" } th.n { "had (h)" } th { "done" } th { "by the plan" } } }
            tbody { @for t in &work.tasks {
                @let of = |name, s: i64| cells.figure(&["work", &t.task, name], fixed(s as f64 / 3600.0, 1));
                tr {
                    td { (t.task) } (of("needed_h", t.needed_s)) (of("had_h", t.had_s))
                    td { @if t.done_s.is_none() { span.alert-text { "\u{25b2} " } } (at(t.done_s, "missing")) }
                    td { (at(t.planned_s, "not by the plan")) }
                }
            } }
        }
        p.note {
            "Time in the water, with all of a task's divers at it. "
            @if let Some((done, planned)) = late {
                @if done > planned { "Done " (fixed((done - planned) as f64 / 86_400.0, 1)) " days later than by the plan. " }
                @else { "Done " (fixed((planned - done) as f64 / 86_400.0, 1)) " days sooner than by the plan. " }
            }
            "The sea was over the launch limit for " (fixed(weather_s as f64 / 3600.0, 0)) " h; the plan allows weather "
            (fixed(work.weather_share * 100.0, 0)) " % of the time in the water."
        }
    } }
}

/// The divers.
pub fn divers(inputs: &Inputs<'_>, cells: &Cells) -> Markup {
    let h = |s: i64| fixed(s as f64 / 3600.0, 1);
    let mol = |m: Option<f64>| m.map_or_else(|| "not given".into(), about);
    html! {
        h2 { "Divers" }
        table title=(apart::DIVERS) {
            thead { tr {
                th { "diver" } th.n { "pressure (d)" } th.n { "bell + water (h)" } th.n { "water (h)" } th.n { "runs" }
                th.n { "longest run (h)" } th.n { "shortest rest (h)" } th.n { "BIBS (h)" } th.n { "trouble reported" }
                th.n { "O2 used (mol)" } th.n { "CO2 given (mol)" } th.n { "UPTD" }
            } }
            tbody { @for d in inputs.record.divers.rows(inputs.outcome.ended_s) { tr {
                @let who = inputs.subject.initials(d.diver);
                @let of = |name, text: String| cells.figure_if_any(&["divers", &who, name], text);
                td { (who) }
                td.n { (fixed(d.pressure_s as f64 / 86_400.0, 1)) } (of("in_bell_and_water_h", h(d.bell_s))) (of("in_water_h", h(d.water_s)))
                (of("bell_runs", d.bell_runs.to_string())) (of("longest_in_bell_and_water_h", h(d.longest_bell_s)))
                (of("shortest_rest_h", d.shortest_rest_s.map_or("none".to_owned(), h)))
                td.n { (h(d.bibs_s)) } td.n { (d.complaints) }
                td.n { (mol(d.o2_mol)) } td.n { (mol(d.co2_mol)) } td.n { (mol(d.uptd)) }
            } } }
        }
        (unwell(inputs))
        p.note { "The oxygen dose is shown, never prescribed. Hours run from leaving the chamber for the bell to being back." }
    }
}

/// The course of the job: phases, weather, faults.
pub fn course(inputs: &Inputs<'_>) -> Markup {
    let (subject, end_s, line) = (
        inputs.subject,
        inputs.outcome.ended_s,
        &inputs.record.timeline,
    );
    let until =
        |to_s: Option<i64>| to_s.map_or_else(|| "end of the run".into(), |t| subject.time.clock(t));
    html! {
        h2 { "Course of the job" }
        table title=(apart::EVENTS) {
            thead { tr { th { "what" } th { "from" } th { "until" } th.n { "for" } } }
            tbody {
                @for p in line.phases() { tr {
                    td { (subject.compartment(p.compartment)) ": " (p.phase.words()) }
                    td.w { (subject.time.clock(p.from_s)) } td.w { (until(p.to_s)) } td.n { (span(p.to_s.unwrap_or(end_s) - p.from_s)) }
                } }
                @for w in line.weather() { tr {
                    td { "waiting on weather" }
                    td.w { (subject.time.clock(w.from_s)) } td.w { (until(w.to_s)) } td.n { (span(w.to_s.unwrap_or(end_s) - w.from_s)) }
                } }
                @for f in line.faults() { tr {
                    td { "planned fault no. " (f.which + 1)
                        @if let Some(what) = subject.faults.get(usize::from(f.which)) { ": " (what.words) } }
                    td.w { (subject.time.clock(f.from_s)) } td.w { (until(f.to_s)) } td.n { (span(f.to_s.unwrap_or(end_s) - f.from_s)) }
                } }
            }
        }
        @if line.refused().0 > 0 { p { (line.refused().0) " orders were refused by the plant." } }
    }
}

/// Where every rule figure comes from.
pub fn sources(inputs: &Inputs<'_>) -> Markup {
    html! {
        h2 { "Rules used, and where each comes from" }
        p.note {
            "Rule set " (inputs.subject.rule_set) ". Figures from memory, not verified, or second-hand are marked in words and on grey ground; check them against the issuing body's current document."
            @if !inputs.subject.accepted.is_empty() { " The scenario accepts by name: " (inputs.subject.accepted.join(", ")) "." }
        }
        @if inputs.provenance.is_empty() { p { "No rule figure was handed to this report." } }
        @else { table {
            thead { tr { th { "id" } th { "what" } th { "figures" } th { "document" } th { "status" } } }
            tbody { @for p in inputs.provenance { tr.weak[weak(p.status)] {
                td.w { (p.id) } td { (p.what) } td { (p.figures) } td { (p.document) } td.status { (status_words(p.status)) }
            } } }
        } }
    }
}
