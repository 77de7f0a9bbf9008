//! The bell-run chart: one bar for each run, from its checks to its end, in the colours of its phases.

use super::inputs::Inputs;
use crate::kit::svg::{Anchor, Axis, Svg};
use deepstay_core::record::{BellPhase, RunEnd};
use deepstay_core::units::{fixed, hours};
use deepstay_core::words::{Names, Words, numbered};

const WIDTH: f64 = 1040.0;
const LEFT: f64 = 168.0;
const RIGHT: f64 = 800.0;
const ROW: f64 = 15.0;

/// What a phase looks like: its class in the page's style, and the words of the legend.
const KINDS: [(&str, &str); 5] = [
    (
        "ph-deck",
        "on deck: checks, transfer, seal, lock-off, lock-on",
    ),
    ("ph-travel", "lowering, recovery"),
    ("ph-bottom", "at depth, all in the bell"),
    ("ph-first", "first diver out"),
    ("ph-second", "second diver out"),
];

fn kind(phase: BellPhase) -> &'static str {
    match phase {
        BellPhase::Lowering | BellPhase::Recovery => "ph-travel",
        BellPhase::DoorOpen
        | BellPhase::FirstBack
        | BellPhase::SecondBack
        | BellPhase::BottomSeal => "ph-bottom",
        BellPhase::FirstOut => "ph-first",
        BellPhase::SecondOut => "ph-second",
        _ => "ph-deck",
    }
}

/// The chart; none where there was no run.
pub fn draw(inputs: &Inputs<'_>) -> Option<String> {
    let runs = inputs.record.bell.runs();
    if runs.is_empty() {
        return None;
    }
    let end_s = inputs.outcome.ended_s;
    let length = |r: &deepstay_core::record::BellRun| {
        r.done_s().unwrap_or(end_s) - r.from_s().unwrap_or(end_s)
    };
    let longest = runs.iter().map(length).max().unwrap_or(0).max(3600);
    let top = 62.0;
    let mut svg = Svg::new(
        WIDTH,
        top + runs.len() as f64 * ROW + 8.0,
        "Bell runs by phase",
    );
    let mut x = LEFT;
    for (i, (class, words)) in KINDS.into_iter().enumerate() {
        let y = if i < 2 { 2.0 } else { 20.0 };
        if i == 2 {
            x = LEFT;
        }
        svg.rect(class, x, y, 14.0, 11.0);
        svg.text("small", Anchor::Start, x + 19.0, y + 10.0, words);
        x += 40.0 + words.chars().count() as f64 * 6.4;
    }
    let time = Axis {
        from: 0.0,
        to: longest as f64,
        from_px: LEFT,
        to_px: RIGHT,
    };
    let step = if longest > 8 * 3600 { 2 } else { 1 };
    for hour in (0..=longest / 3600).step_by(step) {
        let x = time.px(hour as f64 * 3600.0);
        svg.line("grid", x, top - 6.0, x, top + runs.len() as f64 * ROW);
        svg.text("small", Anchor::Middle, x, top - 10.0, &hour.to_string());
    }
    svg.text(
        "small",
        Anchor::Start,
        RIGHT + 12.0,
        top - 10.0,
        "h from the start of the checks",
    );
    for (i, run) in runs.iter().enumerate() {
        let y = top + i as f64 * ROW;
        let when = run
            .from_s()
            .or(run.stopped.map(|(_, at)| at))
            .map(|at| inputs.subject.time.clock(at))
            .unwrap_or_default();
        let name = format!(
            "{} {:>3}  {when}",
            inputs.subject.compartment(run.bell),
            numbered(run.run)
        );
        svg.text("small", Anchor::End, LEFT - 8.0, y + 11.0, &name);
        let mut at = LEFT;
        if let Some(from) = run.from_s() {
            for phase in run.phases.iter().filter(|p| p.phase != BellPhase::Done) {
                let to_s = phase.to_s.unwrap_or(end_s);
                let (a, b) = (
                    time.px((phase.from_s - from) as f64),
                    time.px((to_s - from) as f64),
                );
                let told = format!(
                    "{}: {} min",
                    phase.phase.words(),
                    fixed((to_s - phase.from_s) as f64 / 60.0, 0)
                );
                svg.rect_told(kind(phase.phase), a, y + 2.0, b - a, ROW - 4.0, &told);
                at = b;
            }
        }
        let text = match (run.end(), run.stopped) {
            (RunEnd::Made, _) => {
                let crew: Vec<String> = run
                    .divers
                    .iter()
                    .map(|d| inputs.subject.initials(*d))
                    .collect();
                let sealed = run
                    .seal_to_seal_s()
                    .map(|s| format!(", seal to seal {}", hours(s)))
                    .unwrap_or_default();
                svg.text(
                    "small",
                    Anchor::Start,
                    RIGHT + 12.0,
                    y + 11.0,
                    &format!("{}{sealed}", crew.join(" ")),
                );
                continue;
            }
            (end, Some((why, _))) => format!("▲ {}: {}", end.words(), why.words()),
            (end, None) => format!("▲ {}", end.words()),
        };
        svg.text("warn", Anchor::Start, at + 6.0, y + 11.0, &text);
    }
    Some(svg.finish())
}
