//! What went wrong, and what came of it: of each planned fault when it came and went, the first sign of it, the first
//! alarm, the first act, and what gas it cost; as `faults.csv`, and on the page over one time axis.
//!
//! Nobody on board is told which sign belongs to which fault. Here it is the first that is written beside the same
//! vessel or bank, of a quantity in which such a fault shows, from the fault on and up to an hour after it is over; it may
//! have had another cause.

use super::inputs::Inputs;
use crate::kit::svg::{Anchor, Svg};
use crate::kit::table::{bytes, row, table};
use crate::kit::weeks::{BAR, LEFT, RIGHT, WIDTH, time};
use deepstay_core::record::{AlarmState, BreathingPath, Entry, Finding, Span, ValveName, What};
use deepstay_core::units::{Duty, Place, Purpose, Quantity, Truth, fixed, span};
use deepstay_core::words::{beside, remark};
use maud::{Markup, PreEscaped, html};

/// How long after a fault is over something still counts as its sign, s.
const AFTER_S: i64 = 3_600;
/// What is drawn before the first fault and after the last, s.
const AROUND_S: i64 = 2 * 3600;
const HEAD: f64 = 20.0;
const ROW: f64 = 20.0;
/// Height of the bars of gas let in.
const GAS: f64 = 46.0;

/// One planned fault and what came of it.
struct Story<'a> {
    number: usize,
    words: &'a str,
    active: Span,
    sign: Option<&'a Entry>,
    alarm: Option<&'a Entry>,
    act: Option<&'a Entry>,
    /// Gas lost by faults of its vessel, mol; none where it is no vessel's.
    lost_mol: Option<f64>,
}

/// The faults that came, in order.
fn stories<'a>(inputs: &Inputs<'a>) -> Vec<Story<'a>> {
    let faults = inputs.record.timeline.faults();
    faults.iter().map(|span| story(inputs, *span)).collect()
}

fn story<'a>(inputs: &Inputs<'a>, active: Span) -> Story<'a> {
    let end_s = inputs.outcome.ended_s;
    let number = usize::from(active.which);
    let label = inputs.subject.faults.get(number);
    let place = label.and_then(|l| l.place);
    let shows = label.map_or(&[][..], |l| &l.shows);
    let until_s = active.to_s.map_or(end_s, |to_s| to_s + AFTER_S);
    let acts = inputs.record.log.acts();
    let first = |is: &dyn Fn(&What) -> bool, from_s: i64| {
        let mine = |e: &&Entry| {
            (from_s..=until_s).contains(&e.at) && concerns(inputs, place, &e.what) && is(&e.what)
        };
        acts.iter().find(mine)
    };
    let sign = first(&|what| is_sign(what, shows), active.from_s);
    Story {
        number,
        words: label.map_or("", |l| &l.words),
        active,
        sign,
        alarm: first(&|what| is_alarm(what, shows), active.from_s),
        act: sign.and_then(|sign| first(&|what| is_act(what, shows), sign.at)),
        lost_mol: match place {
            Some(at @ Place::Compartment(_)) => Some(lost_mol(inputs, at)),
            _ => None,
        },
    }
}

fn lost_mol(inputs: &Inputs<'_>, at: Place) -> f64 {
    let by_faults = |p| matches!(p, Purpose::Fault | Purpose::Relief);
    let lost = inputs
        .record
        .ledger
        .sum_where(|l| l.from == at && by_faults(l.purpose));
    lost.total()
}

/// Whether something is written beside the place of a fault. What a bank of oxygen does not hold is noticed where it
/// is let in.
fn concerns(inputs: &Inputs<'_>, place: Option<Place>, what: &What) -> bool {
    match place {
        // What leaks out of one chamber is made up through that in which its people live.
        Some(Place::Compartment(c)) => match *what {
            What::Found {
                finding: Finding::MakeUpRises,
                ..
            } => true,
            _ => beside(inputs.subject, what) == Some(c),
        },
        Some(Place::Bank(fault)) => match *what {
            What::Analysed { bank, .. } | What::LinedUp { bank, .. } => bank == fault,
            What::Found { finding, .. } => {
                let of = inputs.subject.banks.get(fault.index());
                finding == Finding::OxygenUnanswered && of.is_some_and(|b| b.duty == Duty::Oxygen)
            }
            _ => false,
        },
        _ => false,
    }
}

/// What somebody on board can notice.
fn is_sign(what: &What, shows: &[Quantity]) -> bool {
    match what {
        What::Found { finding, .. } => shows.contains(&of_finding(*finding)),
        What::Limit {
            name,
            truth,
            outside,
            ..
        } => *truth == Truth::Shown && *outside && shows.contains(&name.quantity),
        other => is_alarm(other, shows),
    }
}

/// The quantity that a finding is read from.
fn of_finding(finding: Finding) -> Quantity {
    match finding {
        Finding::OxygenClimbs
        | Finding::OxygenUnanswered
        | Finding::OxygenLineAnswersNot
        | Finding::OxygenValveShuts
        | Finding::AnalysersDiffer
        | Finding::OxygenEmergency
        | Finding::OffPlanLine
        | Finding::LoopUnfit => Quantity::PpO2,
        Finding::DepthLost
        | Finding::DepthClimbs
        | Finding::GaugesDiffer
        | Finding::ChamberLeaks
        | Finding::DepthHeld
        | Finding::MakeUpRises
        | Finding::LeakHere
        | Finding::NoLeakFound => Quantity::Depth,
        Finding::FanStopped | Finding::AbsorbentSpent | Finding::AbsorbentHours => Quantity::PpCo2,
    }
}

fn is_alarm(what: &What, shows: &[Quantity]) -> bool {
    match what {
        What::Alarm { name, state, .. } => {
            *state == AlarmState::Unacknowledged && shows.contains(&name.quantity)
        }
        _ => false,
    }
}

/// A blow-down opened so far is no make-up.
const FULLY: f64 = 1.0;

/// What is done against a fault, and seldom else.
fn is_act(what: &What, shows: &[Quantity]) -> bool {
    match what {
        What::Machine { .. }
        | What::LineOff { .. }
        | What::LinedUp { .. }
        | What::Canister { .. }
        | What::Gagged { .. }
        | What::HullStop { .. }
        | What::InboardStop { .. }
        | What::BankStop { .. }
        | What::RegulatorSet { .. }
        | What::Analysed { .. } => true,
        What::Breathing { path, .. } => *path == BreathingPath::Bibs,
        What::Valve {
            valve: ValveName::BlowDown(_),
            opening,
        } => *opening >= FULLY && shows.contains(&Quantity::Depth),
        What::Calibrated { quantity, .. }
        | What::Adjusted { quantity, .. }
        | What::SampleTurned { quantity, .. } => shows.contains(quantity),
        _ => false,
    }
}

/// In words of the log.
fn words(inputs: &Inputs<'_>, entry: &Entry) -> String {
    let said = remark(inputs.subject, inputs.units, entry);
    said.or_else(|| deepstay_core::words::calibration(&entry.what, inputs.units))
        .unwrap_or_default()
}

/// One row for each planned fault that came.
pub fn faults_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let (gas, time) = (inputs.units.free_scale(), inputs.subject.time);
    let mut out = table();
    let lost = format!("lost by faults of its vessel ({})", gas.plain);
    row(
        &mut out,
        [
            "fault",
            "what",
            "from (s)",
            "from (vessel time)",
            "until (vessel time)",
            "first sign after (min)",
            "first sign",
            "first alarm after (min)",
            "first alarm",
            "first act after (min)",
            "first act",
            &lost,
        ],
    )?;
    for story in stories(inputs) {
        let from_s = story.active.from_s;
        let after = |e: Option<&Entry>| e.map(|e| fixed((e.at - from_s) as f64 / 60.0, 1));
        let said = |e: Option<&Entry>| e.map(|e| words(inputs, e)).unwrap_or_default();
        row(
            &mut out,
            [
                (story.number + 1).to_string(),
                story.words.to_owned(),
                from_s.to_string(),
                time.clock(from_s),
                story.active.to_s.map(|s| time.clock(s)).unwrap_or_default(),
                after(story.sign).unwrap_or_default(),
                said(story.sign),
                after(story.alarm).unwrap_or_default(),
                said(story.alarm),
                after(story.act).unwrap_or_default(),
                said(story.act),
                story
                    .lost_mol
                    .map(|mol| gas.digits(mol))
                    .unwrap_or_default(),
            ],
        )?;
    }
    bytes(out)
}

/// The section; nothing where no fault came.
pub fn section(inputs: &Inputs<'_>) -> Markup {
    let stories = stories(inputs);
    let (clock, gas) = (inputs.subject.time, inputs.units.free_scale());
    let cell = |from_s: i64, entry: Option<&Entry>| {
        html! { @match entry {
            Some(e) => { (span(e.at - from_s)) " after: " (words(inputs, e)) }
            None => { "none" }
        } }
    };
    html! { @if !stories.is_empty() {
        h2 { "What went wrong, and what came of it" }
        p.note {
            "Of each planned fault the first sign, alarm and act that are written beside the same vessel or bank, of what such a fault shows in, up to an hour after it was over: "
            "nobody on board is told that they belong together. Lost is what went through faults and relief valves of the vessel over the whole job (all in faults.csv)."
        }
        table title=(crate::explain::apart::FAULTS) {
            thead { tr { th { "fault" } th { "from" } th { "until" } th { "first sign" } th { "first alarm" } th { "first act" } th.n { "lost, " (gas.unit) } } }
            tbody { @for s in &stories { tr {
                td { (s.number + 1) ". " (s.words) }
                td.w { (clock.clock(s.active.from_s)) }
                td.w { @match s.active.to_s { Some(to_s) => { (clock.clock(to_s)) } None => { "end of the run" } } }
                td { (cell(s.active.from_s, s.sign)) }
                td { (cell(s.active.from_s, s.alarm)) }
                td { (cell(s.active.from_s, s.act)) }
                td.n { @if let Some(mol) = s.lost_mol { (gas.digits(mol)) } }
            } } }
        }
        p.note {
            "A bar is a fault; ◇ the first sign, ▲ the first alarm, ● the first act. Below: gas let into all vessels from banks, by rows of the log."
        }
        (PreEscaped(draw(inputs, &stories)))
    } }
}

/// From when to when is drawn, s: what stood from the start to the end is seen in any stretch.
fn stretch(stories: &[Story], end_s: i64) -> (i64, i64) {
    let whole = |s: &&Story| s.active.from_s <= 0;
    let begins = stories
        .iter()
        .filter(|s| !whole(s))
        .map(|s| s.active.from_s);
    let from_s = begins.min().unwrap_or(0) - AROUND_S;
    let marks = |s: &Story| {
        let marks = [s.sign, s.alarm, s.act].into_iter().flatten().map(|e| e.at);
        marks.chain(s.active.to_s).chain([s.active.from_s]).max()
    };
    let to_s = stories.iter().filter_map(marks).max().unwrap_or(end_s) + AROUND_S;
    (from_s.max(0), to_s.min(end_s).max(from_s + AROUND_S))
}

fn draw(inputs: &Inputs<'_>, stories: &[Story]) -> String {
    let (from_s, to_s) = stretch(stories, inputs.outcome.ended_s);
    let axis = time(from_s, to_s);
    let bottom = HEAD + ROW * stories.len() as f64;
    let mut svg = Svg::new(
        WIDTH,
        bottom + GAS + 24.0,
        "Faults, signs, alarms, acts and gas",
    );
    hours(&mut svg, inputs, (from_s, to_s), bottom + GAS + 10.0);
    for (i, story) in stories.iter().enumerate() {
        let y = HEAD + ROW * i as f64;
        let until_s = story.active.to_s.unwrap_or(inputs.outcome.ended_s);
        let (a, b) = (
            axis.held(story.active.from_s as f64),
            axis.held(until_s as f64),
        );
        svg.text(
            "name",
            Anchor::End,
            LEFT - 8.0,
            y + 13.0,
            &format!("fault {}", story.number + 1),
        );
        svg.rect_told("ph-deck", a, y + 4.0, (b - a).max(1.0), BAR, story.words);
        for (sign, entry) in [("◇", story.sign), ("▲", story.alarm), ("●", story.act)] {
            if let Some(e) = entry.filter(|e| axis.reaches(e.at as f64)) {
                svg.text("name", Anchor::Middle, axis.px(e.at as f64), y + 14.0, sign);
            }
        }
    }
    let let_in = let_in(inputs);
    let most = let_in.iter().map(|(_, _, mol)| *mol).fold(0.0, f64::max);
    let base = bottom + 10.0 + GAS;
    svg.text("name", Anchor::End, LEFT - 8.0, base - 2.0, "gas");
    for (since_s, at_s, mol) in let_in {
        if mol > 0.0 && at_s > from_s && since_s < to_s {
            let (a, b) = (axis.held(since_s as f64), axis.held(at_s as f64));
            let high = GAS * mol / most;
            let gas = inputs.units.free_scale();
            let told = format!(
                "{}: {} {}",
                inputs.subject.time.clock(at_s),
                gas.digits(mol),
                gas.unit
            );
            svg.rect_told("ph-travel", a, base - high, (b - a).max(0.5), high, &told);
        }
    }
    svg.line("axis", LEFT, base, RIGHT, base);
    svg.finish()
}

/// A line every so many hours of the ship's clock.
fn hours(svg: &mut Svg, inputs: &Inputs<'_>, (from_s, to_s): (i64, i64), bottom: f64) {
    let axis = time(from_s, to_s);
    let step_s = [1, 2, 6, 12, 24, 48, 168].map(|h| h * 3600);
    let step_s = step_s
        .into_iter()
        .find(|s| (to_s - from_s) / s <= 12)
        .unwrap_or(604_800);
    let clock_s = inputs.subject.time.second_of_day(0);
    let mut at_s = (from_s + clock_s).div_euclid(step_s) * step_s + step_s - clock_s;
    while at_s <= to_s {
        let x = axis.px(at_s as f64);
        svg.line("grid", x, HEAD - 4.0, x, bottom);
        svg.text(
            "small",
            Anchor::Middle,
            x,
            12.0,
            &inputs.subject.time.clock(at_s),
        );
        at_s += step_s;
    }
}

/// Gas let into all vessels from banks, oxygen too, from one log row to the next: since when, up to when, mol.
fn let_in(inputs: &Inputs<'_>) -> Vec<(i64, i64, f64)> {
    let (log, mut since_s) = (&inputs.record.log, 0);
    let periods = log.periods().iter().map(|period| {
        let rows = &log.rows()[period.rows.clone()];
        let mol = rows.iter().map(|r| r.gas_added_mol + r.o2_added_mol).sum();
        let told = (since_s, period.at, mol);
        since_s = period.at;
        told
    });
    periods.collect()
}
