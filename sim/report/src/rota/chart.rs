//! The chart of turns: a strip a week, a line for each bell and each diver; the bell's absence, the time
//! in the water, the ship's night, the rest between two bell runs and how tiring each turn is likely to be.

use super::inputs::RotaInputs;
use crate::kit::svg::{Anchor, Axis, Svg};
use crate::kit::weeks::{BAR, LEFT, WIDTH, day_begins, time};
use deepstay_core::units::{DiverId, fixed, hours};
use deepstay_core::words::Words;
use deepstay_rota::fatigue::{Band, scale_words};
use deepstay_rota::{BellRun, Role, Span};

const ROW: f64 = 19.0;
/// Days in a strip.
const STRIP: i64 = 7;
const HEAD: f64 = 34.0;
const FOOT: f64 = 14.0;

/// The signs of the legend: class and words.
const SIGNS: [(&str, &str); 5] = [
    ("ph-bottom", "bell locked off"),
    ("ph-first", "in the water"),
    ("seat-bellman", "bellman, stays in the bell"),
    ("night", "night of the vessel"),
    ("beyond", "not at storage depth"),
];

/// The chart as pictures, a strip each, after the legend; empty where there is no turn.
pub fn draw(inputs: &RotaInputs<'_>) -> Vec<String> {
    let Some((first, last)) = inputs.days() else {
        return Vec::new();
    };
    let mut all = vec![legend()];
    let mut day = first;
    while day <= last {
        all.push(strip(inputs, day, (day + STRIP).min(last + 1).max(day + 1)));
        day += STRIP;
    }
    all
}

fn legend() -> String {
    let mut svg = Svg::new(WIDTH, 40.0, "What the signs of the chart mean");
    let mut x = LEFT;
    for (class, words) in SIGNS {
        svg.rect(class, x, 2.0, 16.0, 11.0);
        svg.text("small", Anchor::Start, x + 21.0, 12.0, words);
        x += 42.0 + words.chars().count() as f64 * 6.3;
    }
    let mut x = LEFT;
    for band in [Band::Low, Band::Raised, Band::High] {
        underline(&mut svg, band, x, 26.0, 22.0);
        let words = format!("sleepiness {}", band.words());
        svg.text("small", Anchor::Start, x + 27.0, 34.0, &words);
        x += 60.0 + words.chars().count() as f64 * 6.3;
    }
    svg.line("rest", x, 30.0, x + 30.0, 30.0);
    svg.text(
        "small",
        Anchor::Start,
        x + 36.0,
        34.0,
        "rest between two bell runs, h:min; a stroke where the rest demanded ends",
    );
    svg.finish()
}

/// A line under a bar, thicker where a turn is more tiring.
fn underline(svg: &mut Svg, band: Band, x: f64, y: f64, width: f64) {
    match band {
        Band::Low => svg.rect("tired-low", x, y, width, 1.0),
        Band::Raised => svg.rect("tired-raised", x, y, width, 2.5),
        Band::High => svg.rect("tired-high", x, y, width, 4.0),
    }
}

fn strip(inputs: &RotaInputs<'_>, first: i64, last: i64) -> String {
    let (from, to) = (inputs.day_start_s(first), inputs.day_start_s(first + STRIP));
    let time = time(from, to);
    let end_px = time.px(inputs.day_start_s(last) as f64);
    let bells = inputs.problem.bells.len();
    let rows = bells + inputs.problem.divers.len();
    let bottom = HEAD + rows as f64 * ROW;
    let mut svg = Svg::new(
        WIDTH,
        bottom + FOOT,
        &format!("Turns of days {} to {}", first + 1, last),
    );
    nights(inputs, &mut svg, &time, first, last, bottom);
    for day in first..last {
        let x = time.px(inputs.day_start_s(day) as f64);
        day_begins(&mut svg, inputs.subject, day, x, HEAD, bottom);
        for hour in [6, 12, 18] {
            let x = time.px((inputs.day_start_s(day) + hour * 3600) as f64);
            svg.text(
                "faint",
                Anchor::Middle,
                x,
                HEAD - 8.0,
                &format!("{hour:02}"),
            );
        }
    }
    svg.line("grid", end_px, HEAD - 4.0, end_px, bottom);
    let window = Span::new(from, inputs.day_start_s(last));
    for (i, bell) in inputs.problem.bells.iter().enumerate() {
        let y = HEAD + i as f64 * ROW;
        svg.text("name", Anchor::End, LEFT - 8.0, y + 12.0, &bell.name);
        for span in &bell.down {
            shade(
                &mut svg,
                "beyond",
                &time,
                window,
                *span,
                y,
                ROW,
                "out of service",
            );
        }
        for turn in inputs.rota.runs.iter().filter(|t| t.bell == bell.id) {
            shade(
                &mut svg,
                "ph-bottom",
                &time,
                window,
                turn.span(),
                y + 3.0,
                BAR,
                &told(inputs, turn),
            );
            let water = turn.positions.iter().flat_map(|s| &s.wet);
            for wet in water {
                shade(
                    &mut svg,
                    "ph-first",
                    &time,
                    window,
                    *wet,
                    y + 3.0,
                    BAR,
                    "someone in the water",
                );
            }
        }
    }
    svg.line(
        "axis",
        LEFT,
        HEAD + bells as f64 * ROW,
        end_px,
        HEAD + bells as f64 * ROW,
    );
    for (i, diver) in (0u8..).zip(&inputs.problem.divers) {
        let y = HEAD + (bells + usize::from(i)) as f64 * ROW;
        svg.text("name", Anchor::End, LEFT - 8.0, y + 12.0, &diver.initials);
        line_of(inputs, &mut svg, &time, window, DiverId(i), y);
    }
    svg.line("axis", LEFT, bottom, end_px, bottom);
    svg.finish()
}

fn nights(inputs: &RotaInputs<'_>, svg: &mut Svg, time: &Axis, first: i64, last: i64, bottom: f64) {
    let length = (inputs.night_s.1 - inputs.night_s.0).rem_euclid(86_400);
    let window = Span::new(inputs.day_start_s(first), inputs.day_start_s(last));
    for day in first - 1..last {
        let from = inputs.day_start_s(day) + inputs.night_s.0;
        let (a, b) = (from.max(window.from_s), (from + length).min(window.to_s));
        if a < b {
            svg.rect(
                "night",
                time.px(a as f64),
                HEAD,
                time.px(b as f64) - time.px(a as f64),
                bottom - HEAD,
            );
        }
    }
}

#[expect(
    clippy::too_many_arguments,
    reason = "a box on an axis, in a window, with its words"
)]
fn shade(
    svg: &mut Svg,
    class: &str,
    time: &Axis,
    window: Span,
    span: Span,
    y: f64,
    height: f64,
    told: &str,
) {
    let (a, b) = (span.from_s.max(window.from_s), span.to_s.min(window.to_s));
    if a < b {
        svg.rect_told(
            class,
            time.px(a as f64),
            y,
            time.px(b as f64) - time.px(a as f64),
            height,
            told,
        );
    }
}

fn told(inputs: &RotaInputs<'_>, turn: &BellRun) -> String {
    format!(
        "{} {} to {}, {} h seal to seal: {}",
        inputs.bell(turn),
        inputs.subject.time.civil_minute(turn.first),
        inputs.subject.time.civil_minute(turn.last),
        hours(turn.span().length_s()),
        inputs.crew(turn)
    )
}

fn line_of(
    inputs: &RotaInputs<'_>,
    svg: &mut Svg,
    time: &Axis,
    window: Span,
    diver: DiverId,
    y: f64,
) {
    let problem = inputs.problem;
    let mut out_from = window.from_s;
    let stays = problem
        .divers
        .get(diver.index())
        .map_or(&[][..], |d| &d.stays);
    for stay in stays
        .iter()
        .map(|s| s.span)
        .chain([Span::new(window.to_s, window.to_s)])
    {
        shade(
            svg,
            "beyond",
            time,
            window,
            Span::new(out_from, stay.from_s),
            y,
            ROW,
            "not at storage depth",
        );
        out_from = out_from.max(stay.to_s);
    }
    let unfit = problem
        .divers
        .get(diver.index())
        .map_or(&[][..], |d| &d.unfit);
    for span in unfit {
        shade(
            svg,
            "beyond",
            time,
            window,
            *span,
            y,
            ROW,
            "unfit for the bell",
        );
    }
    let mut before: Option<&BellRun> = None;
    let tired = inputs.tired.iter().find(|t| t.diver == diver);
    for (i, turn) in inputs.rota.runs.iter().enumerate() {
        let Some(seat) = turn.position_of(diver) else {
            continue;
        };
        if let Some(before) = before {
            let demanded = problem.limits_at(before.depth_msw).map(|l| l.rest.s);
            rest(
                svg,
                time,
                window,
                Span::new(before.last, turn.first),
                demanded,
                y,
            );
        }
        before = Some(turn);
        if turn.span().shared_s(window) == 0 {
            continue;
        }
        let peak = tired
            .and_then(|t| t.runs.iter().find(|t| t.turn == i))
            .map(|t| t.peak);
        let mut words = format!("{}; {}", told(inputs, turn), seat.role.words());
        if let Some(p) = peak {
            words += &format!(
                "; sleepiness {} ({} to {}), {}",
                fixed(p.middle, 1),
                fixed(p.least, 1),
                fixed(p.most, 1),
                scale_words(p.middle)
            );
        }
        let class = if seat.role == Role::Bellman {
            "seat-bellman"
        } else {
            "ph-bottom"
        };
        shade(svg, class, time, window, turn.span(), y + 3.0, BAR, &words);
        for wet in &seat.wet {
            shade(svg, "ph-first", time, window, *wet, y + 3.0, BAR, &words);
        }
        if let Some(p) = peak {
            let (a, b) = (turn.first.max(window.from_s), turn.last.min(window.to_s));
            underline(
                svg,
                Band::of(p.middle),
                time.px(a as f64),
                y + 14.0,
                time.px(b as f64) - time.px(a as f64),
            );
        }
        let broken = inputs
            .verdict
            .breaches
            .iter()
            .any(|b| b.turn == Some(i) && b.diver.is_none_or(|d| d == diver));
        if broken && turn.first >= window.from_s {
            svg.text(
                "warn",
                Anchor::End,
                time.px(turn.first as f64) - 1.0,
                y + 12.0,
                "▲",
            );
        }
    }
}

fn rest(svg: &mut Svg, time: &Axis, window: Span, gap: Span, demanded: Option<i64>, y: f64) {
    let (a, b) = (gap.from_s.max(window.from_s), gap.to_s.min(window.to_s));
    if a >= b {
        return;
    }
    let (x1, x2, mid) = (time.px(a as f64), time.px(b as f64), y + 8.0);
    let words = hours(gap.length_s());
    let middle = (x1 + x2) / 2.0;
    let half = words.chars().count() as f64 * 3.3 + 3.0;
    if gap.from_s >= window.from_s && x2 - x1 > 2.0 * half + 12.0 {
        svg.line("rest", x1, mid, middle - half, mid);
        svg.line("rest", middle + half, mid, x2, mid);
        svg.text("faint", Anchor::Middle, middle, mid + 4.0, &words);
    } else {
        svg.line("rest", x1, mid, x2, mid);
    }
    if let Some(end) = demanded
        .map(|d| gap.from_s + d)
        .filter(|e| *e >= a && *e <= window.to_s)
    {
        let x = time.px(end as f64);
        svg.line("rest", x, mid - 3.0, x, mid + 3.0);
    }
}
