//! The job's rota as it was lived: a strip a week, a line for each diver; the runs he was on, the time in
//! which someone was in the water, and the planned starts that no run came of.

use super::inputs::Inputs;
use crate::kit::svg::{Anchor, Axis, Svg};
use crate::kit::weeks::{BAR, LEFT, WIDTH, day_begins, time};
use deepstay_core::record::{BellPhase, BellRun, RunEnd};
use deepstay_core::units::{DiverId, hours};
use deepstay_core::words::{Names, Words, numbered};
use maud::{Markup, PreEscaped, html};

const ROW: f64 = 17.0;
const HEAD: f64 = 20.0;
const STRIP_S: i64 = 7 * 86_400;

/// The section; nothing where no diver went.
pub fn section(inputs: &Inputs<'_>) -> Markup {
    let strips = draw(inputs);
    html! { @if !strips.is_empty() {
        h3 { "Who went when" }
        p.note {
            span.chip.run {} "on a run, from the start of its checks to its end" span.chip.out {} "someone in the water. "
            "An upright stroke is the planned start of a run that he was to go on; ▲ is one that was cancelled or aborted. Grey ground: after the end of the record."
        }
        @for strip in &strips { (PreEscaped(strip)) }
    } }
}

/// From when to when there is anything to draw, s.
fn ends(inputs: &Inputs<'_>) -> Option<(i64, i64)> {
    let runs = inputs.record.bell.runs();
    let first = runs.iter().filter_map(BellRun::from_s).min()?;
    let last = runs
        .iter()
        .filter_map(|r| r.done_s().or(r.from_s()))
        .max()?;
    Some((first, last))
}

fn draw(inputs: &Inputs<'_>) -> Vec<String> {
    let Some((first, last)) = ends(inputs) else {
        return Vec::new();
    };
    let clock = inputs.subject.time.second_of_day(0);
    let midnight = |s: i64| (s + clock).div_euclid(86_400) * 86_400 - clock;
    let (mut from, mut strips) = (midnight(first), Vec::new());
    while from <= last {
        let to = (from + STRIP_S).min(midnight(last) + 86_400);
        strips.push(strip(inputs, from, to));
        from += STRIP_S;
    }
    strips
}

fn strip(inputs: &Inputs<'_>, from: i64, to: i64) -> String {
    let time = time(from, from + STRIP_S);
    let crew = &inputs.subject.crew;
    let bottom = HEAD + crew.len() as f64 * ROW;
    let mut svg = Svg::new(
        WIDTH,
        bottom + 10.0,
        "Divers' bell runs, a strip of the job",
    );
    let mut day_s = from;
    while day_s < to {
        let x = time.px(day_s as f64);
        let day = (day_s + inputs.subject.time.second_of_day(0)).div_euclid(86_400);
        day_begins(&mut svg, inputs.subject, day, x, HEAD, bottom);
        day_s += 86_400;
    }
    let ended = inputs.outcome.ended_s;
    if ended < to {
        let x = time.held(ended as f64);
        svg.rect("beyond", x, HEAD, time.px(to as f64) - x, bottom - HEAD);
    }
    for (i, initials) in (0u8..).zip(crew) {
        let y = HEAD + f64::from(i) * ROW;
        svg.text("name", Anchor::End, LEFT - 8.0, y + 12.0, initials);
        line(inputs, &mut svg, &time, (from, to), DiverId(i), y);
    }
    svg.line("axis", LEFT, bottom, time.px(to as f64), bottom);
    svg.finish()
}

fn line(
    inputs: &Inputs<'_>,
    svg: &mut Svg,
    time: &Axis,
    (from, to): (i64, i64),
    diver: DiverId,
    y: f64,
) {
    let ended = inputs.outcome.ended_s;
    let mut bar = |class: &str, a: i64, b: i64, told: &str| {
        let (a, b) = (a.max(from), b.min(to));
        if a < b {
            svg.rect_told(
                class,
                time.px(a as f64),
                y + 3.0,
                time.px(b as f64) - time.px(a as f64),
                BAR,
                told,
            );
        }
    };
    let runs = inputs.record.bell.runs();
    for run in runs.iter().filter(|r| r.divers.contains(&diver)) {
        let Some(began) = run.from_s() else { continue };
        let done = run.done_s().unwrap_or(ended);
        let crew: Vec<String> = run
            .divers
            .iter()
            .map(|d| inputs.subject.initials(*d))
            .collect();
        let told = format!(
            "{} run {}, {}: {} h; {}",
            inputs.subject.compartment(run.bell),
            numbered(run.run),
            crew.join(" "),
            hours(done - began),
            run.end().words()
        );
        bar("ph-bottom", began, done, &told);
        for phase in run
            .phases
            .iter()
            .filter(|p| matches!(p.phase, BellPhase::FirstOut | BellPhase::SecondOut))
        {
            bar("ph-first", phase.from_s, phase.to_s.unwrap_or(ended), &told);
        }
    }
    for planned in inputs
        .subject
        .planned
        .iter()
        .filter(|p| p.divers.contains(&diver) && (from..to).contains(&p.at_s))
    {
        let x = time.px(planned.at_s as f64);
        svg.line("axis", x, y + 1.0, x, y + 15.0);
        let run = runs
            .iter()
            .find(|r| r.bell == planned.bell && r.run == planned.run);
        if run.is_some_and(|r| matches!(r.end(), RunEnd::Cancelled | RunEnd::Aborted)) {
            svg.text("warn", Anchor::Start, x + 3.0, y + 12.0, "▲");
        }
    }
}
