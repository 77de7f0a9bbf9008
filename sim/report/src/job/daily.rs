//! The daily return: what a supervisor sends ashore each day, one printed page a day. People under pressure with their
//! depths, bell runs, work, gas by bank, absorbent, weather, alarms, and what has changed; as indicated, but for the books of
//! gas and the planned faults, which the page names as the report's own.

use super::inputs::Inputs;
use crate::kit::frame::framed_in;
use deepstay_core::CAUTION;
use deepstay_core::record::{AlarmLife, BellRun, LogRow, Phase, Severity, What};
use deepstay_core::units::{
    BankId, CompartmentId, FREE_WORDS, Place, Quantity, Truth, about, fixed,
};
use deepstay_core::words::{Names, Words, numbered};
use maud::{Markup, html};

const DAY_S: i64 = 86_400;
/// Most alarms that are named on a page; the rest are counted.
const NAMED: usize = 6;

/// A day of the vessel, as far as the record goes.
#[derive(Clone, Copy)]
struct Day {
    number: i64,
    from_s: i64,
    to_s: i64,
}

impl Day {
    fn has(self, at_s: i64) -> bool {
        (self.from_s..self.to_s).contains(&at_s)
    }

    /// How much of a stretch lies in it, s.
    fn shares(self, from_s: i64, to_s: i64) -> i64 {
        (to_s.min(self.to_s) - from_s.max(self.from_s)).max(0)
    }
}

/// All days, a sheet each.
pub(super) fn daily_html(inputs: &Inputs<'_>) -> String {
    let title = format!("Daily returns: {}", inputs.subject.scenario);
    let sheets = html! { @for day in days(inputs) { (sheet(inputs, day)) } };
    framed_in(STYLE, &title, &sheets)
}

fn days(inputs: &Inputs<'_>) -> Vec<Day> {
    let (from_s, end_s) = (inputs.outcome.from_s(), inputs.outcome.ended_s);
    let time = inputs.subject.time;
    let first_midnight_s = from_s - time.second_of_day(from_s);
    let number = time.day(from_s) + 1;
    let count = ((end_s - first_midnight_s).max(1) + DAY_S - 1) / DAY_S;
    (0..count)
        .map(|k| Day {
            number: number + k,
            from_s: (first_midnight_s + k * DAY_S).max(from_s),
            to_s: (first_midnight_s + (k + 1) * DAY_S).min(end_s),
        })
        .collect()
}

fn sheet(inputs: &Inputs<'_>, day: Day) -> Markup {
    let (subject, time) = (inputs.subject, inputs.subject.time);
    html! {
        section.sheet {
            h1 { "Daily return, day " (format!("{:02}", day.number)) span { (time.weekday(day.number - 1)) " " (time.date(day.number - 1)) } }
            p.head { (subject.title) ", " (subject.spread) ", rule set " (subject.rule_set) ". From " (time.hour_and_minute(day.from_s)) " to "
                @if day.to_s == inputs.outcome.ended_s { (time.hour_and_minute(day.to_s)) ", the end of the record" } @else { "24:00" } ", vessel time. Day " (day.number) " of the job." }
            (people(inputs, day))
            (runs(inputs, day))
            (work(inputs, day))
            (gas(inputs, day))
            (absorbent(inputs, day))
            (weather(inputs, day))
            (alarms(inputs, day))
            (remarks(inputs, day))
            p.sign { "Supervisor" span.line {} "Client's representative" span.line {} }
            p.foot { (CAUTION) }
        }
    }
}

/// An hour at which something ends: midnight is the end of its day.
fn until(inputs: &Inputs<'_>, day: Day, at_s: i64) -> String {
    match at_s > day.from_s && inputs.subject.time.second_of_day(at_s) == 0 {
        true => "24:00".to_owned(),
        false => inputs.subject.time.hour_and_minute(at_s),
    }
}

/// The rows of the last log of the day.
fn last_rows<'a>(inputs: &Inputs<'a>, day: Day) -> &'a [LogRow] {
    let log = &inputs.record.log;
    let mut written = log.periods().iter().rev();
    let last = written.find(|p| p.at <= day.to_s && p.at > day.from_s && !p.rows.is_empty());
    last.map_or(&[], |p| &log.rows()[p.rows.clone()])
}

fn phase_at(inputs: &Inputs<'_>, at: CompartmentId, s: i64) -> Option<Phase> {
    let phases = inputs.record.timeline.phases().iter();
    let mut mine = phases.filter(|p| p.compartment == at && p.from_s <= s);
    mine.next_back().map(|p| p.phase)
}

fn people(inputs: &Inputs<'_>, day: Day) -> Markup {
    let subject = inputs.subject;
    let under: Vec<String> = inputs
        .record
        .divers
        .pressed()
        .iter()
        .filter(|p| p.from_s < day.to_s && p.to_s.is_none_or(|to| to >= day.to_s))
        .map(|p| {
            let days = (day.to_s - p.from_s) as f64 / DAY_S as f64;
            format!("{} {} d", subject.initials(p.diver), fixed(days, 1))
        })
        .collect();
    let scale = |q: Quantity| inputs.units.scale(q);
    let shown =
        |row: &LogRow, q: Quantity| row.shown(q).map_or("-".to_owned(), |v| scale(q).digits(v));
    let rows = last_rows(inputs, day);
    let lived_in = |row: &&LogRow| {
        let pressed =
            phase_at(inputs, row.compartment, row.at).is_some_and(|p| p != Phase::Surface);
        row.divers.is_some_and(|n| n > 0) || pressed
    };
    let heads = [
        Quantity::Depth,
        Quantity::PpO2,
        Quantity::PpCo2,
        Quantity::Temperature,
    ];
    html! {
        h2 { "People under pressure: " (under.len()) }
        @if under.is_empty() { p { "Nobody." } } @else { p { (under.join(", ")) " (days under pressure so far)" } }
        @let lived: Vec<&LogRow> = rows.iter().filter(lived_in).collect();
        @if let Some(first) = lived.first() {
            table {
                thead { tr { th { "as indicated at " (until(inputs, day, first.at)) } th { "phase" } th.n { "divers" }
                    @for q in heads { th.n { (q.words()) ", " (scale(q).unit) } } } }
                tbody { @for row in &lived { tr {
                    td { (subject.compartment(row.compartment)) }
                    td { (phase_at(inputs, row.compartment, row.at).map_or("-", Words::words)) }
                    td.n { (row.divers.map_or("-".to_owned(), |n| n.to_string())) }
                    @for q in heads { td.n { (shown(row, q)) } }
                } } }
            }
            @let housed: usize = lived.iter().map(|row| row.divers.map_or(0, usize::from)).sum();
            @if under.len() > housed {
                p.note { "In the water then, or on the way between two vessels: " (under.len() - housed) }
            }
        }
    }
}

fn runs(inputs: &Inputs<'_>, day: Day) -> Markup {
    let (subject, time) = (inputs.subject, inputs.subject.time);
    let planned = |run: &BellRun| {
        let of = |p: &&crate::PlannedRun| (p.bell, p.run) == (run.bell, run.run);
        subject.planned.iter().find(of)
    };
    let began = |run: &BellRun| {
        let stopped = run.stopped.map(|(_, at)| at);
        run.from_s().or(stopped).or(planned(run).map(|p| p.at_s))
    };
    let all = inputs.record.bell.runs().iter();
    let today: Vec<&BellRun> = all
        .filter(|r| began(r).is_some_and(|s| day.has(s)))
        .collect();
    let clock = |s: Option<i64>| s.map_or("-".to_owned(), |s| time.hour_and_minute(s));
    html! {
        h2 { "Bell runs: " (today.len()) }
        @if !today.is_empty() { table {
            thead { tr { th { "run" } th { "divers" } th.n { "began" } th.n { "over" } th.n { "seal to seal, h" } th.n { "in water, h" } th { "end" } } }
            tbody { @for run in &today {
                @let divers = if run.divers.is_empty() { planned(run).map_or(&run.divers, |p| &p.divers) } else { &run.divers };
                @let names: Vec<String> = divers.iter().map(|d| subject.initials(*d)).collect();
                @let h = |s: i64| fixed(s as f64 / 3600.0, 1);
                tr {
                    td { (subject.compartment(run.bell)) " " (numbered(run.run)) } td { (names.join(" ")) }
                    td.n { (clock(run.from_s())) } td.n { (clock(run.done_s())) }
                    td.n { (run.seal_to_seal_s().map_or("-".to_owned(), h)) } td.n { (h(run.water_s)) }
                    td { (run.end().words()) @if let Some((why, _)) = run.stopped { ": " (why.words()) } }
                }
            } }
        } }
    }
}

fn work(inputs: &Inputs<'_>, day: Day) -> Markup {
    let work = &inputs.outcome.work;
    let h = |s: i64| fixed(s as f64 / 3600.0, 1);
    let had = |task: usize, is: &dyn Fn(i64) -> bool| -> i64 {
        let mine = work.given.iter().filter(|g| g.task == task && is(g.to_s));
        mine.map(|g| g.water_s).sum()
    };
    let ended = |s: i64| s > day.from_s && s <= day.to_s;
    html! { @if !work.tasks.is_empty() {
        h2 { "Work" }
        table {
            thead { tr { th { "task" } th.n { "today, h" } th.n { "so far, h" } th.n { "takes, h" } th { "done" } } }
            tbody { @for (i, task) in work.tasks.iter().enumerate() { tr {
                td { (task.task) } td.n { (h(had(i, &ended))) } td.n { (h(had(i, &|s| s <= day.to_s))) } td.n { (h(task.needed_s)) }
                td { @match task.done_s.filter(|s| *s <= day.to_s) { Some(at) => (inputs.subject.time.clock(at)), None => "open" } }
            } } }
        }
    } }
}

fn gas(inputs: &Inputs<'_>, day: Day) -> Markup {
    let (subject, ledger) = (inputs.subject, &inputs.record.ledger);
    let unit = inputs.units.free_scale();
    let gauge = inputs.units.scale(Quantity::GaugePressure);
    let rows = inputs.record.log.banks();
    let known = rows.partition_point(|r| r.at <= day.to_s);
    let shown = |bank: BankId| {
        let mut before = rows[..known].iter().rev();
        before.find(|r| r.bank == bank).map(|r| r.gauge_bar)
    };
    let today = ledger.days().iter().find(|d| d.day == day.number);
    let left = |bank: BankId| {
        let moved = ledger.days().iter().filter(|d| d.day <= day.number);
        let net: f64 = moved
            .map(|d| d.of_bank(bank))
            .map(|[out, back]| back - out)
            .sum();
        ledger.opening(Place::Bank(bank)).map(|o| o.total() + net)
    };
    let volume = |mol: f64| {
        if mol == 0.0 {
            "\u{b7}".to_owned()
        } else {
            about(unit.of(mol))
        }
    };
    let banks: Vec<(BankId, &crate::subject::BankLabel)> =
        (0u8..).map(BankId).zip(&subject.banks).collect();
    let halves = banks.chunks(banks.len().div_ceil(2).max(1));
    html! {
        h2 { "Gas, " (unit.unit) " free" }
        div.two { @for half in halves { table {
            thead { tr { th { "bank" } th { "duty" } th.n { "gauge, " (gauge.unit) } th.n { "used" } th.n { "put back" } th.n { "left" } } }
            tbody { @for (id, label) in half {
                @let [out, back] = today.map_or([0.0; 2], |d| d.of_bank(*id));
                tr {
                    td { (label.name) } td { (label.duty.words()) }
                    td.n { (shown(*id).map_or("-".to_owned(), |bar| fixed(gauge.of(bar), 0))) }
                    td.n { (volume(out)) } td.n { (volume(back)) }
                    td.n { (left(*id).map_or("-".to_owned(), |mol| about(unit.of(mol)))) }
                }
            } }
        } } }
        p.note { "Gauge as indicated at the last log row; used, put back and left by the report's books, " (FREE_WORDS) ", other banks among them." }
    }
}

fn absorbent(inputs: &Inputs<'_>, day: Day) -> Markup {
    let subject = inputs.subject;
    let mut changed: Vec<String> = Vec::new();
    let mut kg = 0.0;
    for act in inputs.record.log.acts().iter().filter(|e| day.has(e.at)) {
        if let What::Canister {
            compartment, hours, ..
        } = act.what
        {
            let label = subject.compartments.get(compartment.index());
            kg += label.and_then(|l| l.canister_kg).unwrap_or(0.0);
            changed.push(format!(
                "{} {} after {} h",
                subject.compartment(compartment),
                subject.time.hour_and_minute(act.at),
                fixed(hours, 1)
            ));
        }
    }
    html! {
        h2 { "Absorbent: " (fixed(kg, 0)) " kg changed" }
        @if !changed.is_empty() { p { (changed.join("; ")) } }
    }
}

fn weather(inputs: &Inputs<'_>, day: Day) -> Markup {
    let (time, end_s) = (inputs.subject.time, inputs.outcome.ended_s);
    let mut waited_s = 0;
    let mut spans: Vec<String> = Vec::new();
    for wait in inputs.record.timeline.weather() {
        let (from_s, to_s) = (wait.from_s, wait.to_s.unwrap_or(end_s));
        let here_s = day.shares(from_s, to_s);
        if here_s > 0 {
            waited_s += here_s;
            let to = until(inputs, day, to_s.min(day.to_s));
            spans.push(format!(
                "{} to {to}",
                time.hour_and_minute(from_s.max(day.from_s))
            ));
        }
    }
    html! {
        h2 { "Weather: over the launch limit for " (fixed(waited_s as f64 / 3600.0, 1)) " h" }
        @if !spans.is_empty() { p { (spans.join("; ")) } }
    }
}

fn alarms(inputs: &Inputs<'_>, day: Day) -> Markup {
    let subject = inputs.subject;
    let list = inputs.record.alarms.list();
    let today: Vec<&AlarmLife> = list.iter().filter(|a| day.has(a.raised_s)).collect();
    let count = |s: Severity| today.iter().filter(|a| a.severity() == s).count();
    let mut grave: Vec<&&AlarmLife> = today
        .iter()
        .filter(|a| a.severity() != Severity::Attention)
        .collect();
    grave.sort_by_key(|a| (std::cmp::Reverse(a.severity()), a.raised_s));
    let told = |a: &&&AlarmLife| {
        format!(
            "{} {} ({})",
            subject.time.hour_and_minute(a.raised_s),
            subject.limit(&a.name),
            a.severity().words()
        )
    };
    let named: Vec<String> = grave.iter().take(NAMED).map(told).collect();
    let crossed = inputs
        .record
        .limits
        .list()
        .into_iter()
        .filter(|o| {
            o.key.truth == Truth::Shown
                && o.key.name.severity != Severity::Attention
                && day.has(o.from_s)
        })
        .count();
    let faults: Vec<String> = inputs
        .record
        .timeline
        .faults()
        .iter()
        .filter(|f| day.shares(f.from_s, f.to_s.unwrap_or(inputs.outcome.ended_s)) > 0)
        .map(|f| {
            subject
                .faults
                .get(usize::from(f.which))
                .map_or_else(|| format!("no. {}", f.which + 1), |l| l.words.clone())
        })
        .collect();
    html! {
        h2 { "Alarms: " (today.len()) " (" (count(Severity::Emergency)) " emergency, " (count(Severity::Limit)) " limit, " (count(Severity::Attention)) " attention)" }
        p { "Limits crossed as indicated: " (crossed) ". "
            (named.join("; ")) @if grave.len() > named.len() { "; " (grave.len() - named.len()) " more in alarms.csv" } }
        @if !faults.is_empty() { p { "Planned faults under way, known to the report and not to the watch: " (faults.join("; ")) "." } }
    }
}

fn remarks(inputs: &Inputs<'_>, day: Day) -> Markup {
    let subject = inputs.subject;
    let phases = inputs
        .record
        .timeline
        .phases()
        .iter()
        .filter(|p| day.has(p.from_s));
    let told: Vec<String> = phases
        .map(|p| {
            format!(
                "{} {}: {}",
                subject.time.hour_and_minute(p.from_s),
                subject.compartment(p.compartment),
                p.phase.words()
            )
        })
        .collect();
    html! {
        h2 { "Remarks" }
        @if !told.is_empty() { p { (told.join("; ")) } }
        p.write {}
    }
}

/// The look of the sheets: one A4 or Letter page each in print, one column on a screen of any width.
const STYLE: &str = r#"
@page { margin: 10mm; }
html { -webkit-print-color-adjust: exact; print-color-adjust: exact; -webkit-text-size-adjust: 100%; }
body { margin: 0 auto; padding: 0 12px; max-width: 190mm; background: #fff; color: #111;
  font: 13px/1.3 "Liberation Sans", Arial, Helvetica, sans-serif; font-variant-numeric: tabular-nums; }
h1 { font-size: 22px; margin: 0; }
h1 span { font-size: 14px; font-weight: 400; margin-left: 12px; }
h2 { font-size: 14px; margin: 7px 0 2px; border-top: 1px solid #111; padding-top: 3px; }
p { margin: 0 0 3px; }
.head, .note { color: #333; font-size: 12px; }
table { border-collapse: collapse; width: 100%; }
th { text-align: left; font-weight: 400; color: #333; font-size: 12px; vertical-align: bottom; padding: 0 6px 1px 0; }
td { padding: 0 6px 0 0; vertical-align: baseline; overflow-wrap: break-word; }
td.n, th.n { text-align: right; overflow-wrap: normal; }
td.n + td:not(.n), th.n + th:not(.n) { padding-left: 8px; }
tbody tr:nth-child(even) td { background: #f2f2f2; }
.write { height: 10mm; border-bottom: 1px solid #999; }
.sign { margin: 6mm 0 2mm; }
.line { display: inline-block; width: 42mm; border-bottom: 1px solid #111; margin: 0 5mm 0 2mm; }
.foot { font-size: 11px; color: #333; border-top: 1px solid #777; padding-top: 2px; }
.sheet { padding: 14px 0; }
.sheet + .sheet { break-before: page; }
tr { break-inside: avoid; }
.two { display: grid; grid-template-columns: 1fr 1fr; gap: 0 20px; }
@media screen and (max-width: 600px) {
  .two { grid-template-columns: 1fr; }
  .two table + table thead { display: none; }
  td, th { padding-right: 4px; }
  th { font-size: 11px; }
  .line { width: 100%; margin: 6mm 0 2mm; }
}
@media print { body { max-width: none; padding: 0; font-size: 10px; line-height: 1.2; } .sheet { padding: 0; }
  h1 { font-size: 18px; } h2 { font-size: 11.5px; margin-top: 4px; } th, .head, .note { font-size: 9.5px; } .foot { font-size: 8.5px; }
  .write { height: 8mm; } }
"#;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample::Sample;

    #[test]
    fn each_day_has_its_page() {
        let sample = Sample::days(3);
        let page = daily_html(&sample.inputs());
        let sheets: Vec<&str> = page.split("<section").skip(1).collect();
        let days = days(&sample.inputs());
        assert_eq!(sheets.len(), days.len());
        // The days are the vessel's, one after the other and nothing between.
        assert!(
            days.windows(2)
                .all(|d| d[0].to_s == d[1].from_s && d[0].number + 1 == d[1].number)
        );
        assert_eq!(days.last().map(|d| d.to_s), Some(sample.outcome.ended_s));
        for sheet in &sheets {
            for part in [
                "Daily return, day",
                "People under pressure:",
                "Bell runs:",
                "Gas, m",
                "Absorbent:",
                "Weather:",
                "Alarms:",
                "Remarks",
                CAUTION,
            ] {
                assert!(sheet.contains(part), "{part}");
            }
        }
        for outside in ["<script", "src=", "href=", "@import", "url("] {
            assert!(!page.contains(outside), "{outside}");
        }
        // Every run that was begun or lost stands on one page, and only one.
        let runs: usize = days
            .iter()
            .map(|d| {
                runs(&sample.inputs(), *d)
                    .into_string()
                    .matches("<tr")
                    .count()
                    .saturating_sub(1)
            })
            .sum();
        assert_eq!(runs, sample.record.bell.runs().len());
    }

    /// What banks gave day by day is what the whole ledger says they gave.
    #[test]
    fn days_of_banks_add_up() {
        let sample = Sample::days(3);
        let ledger = &sample.record.ledger;
        for bank in (0..4).map(BankId) {
            let place = Place::Bank(bank);
            let out: f64 = ledger.days().iter().map(|d| d.of_bank(bank)[0]).sum();
            let whole = ledger
                .sum_where(|l| l.from == place && l.to != place)
                .total();
            assert!(
                (out - whole).abs() <= 1e-9 * whole.max(1.0),
                "{out} {whole}"
            );
        }
    }
}
