//! The trend of a reading: both instruments, the limits in force, and of a watch that is looked back on its twins.

use super::band::limits;
use super::theme::{Pen, Side, TEXT, row};
use super::{Board, Deed};
use crate::drawing::Ink;
use bevy_egui::egui::{FontId, Pos2, Rect, Sense, Ui, pos2, vec2};
use deepstay::units::{Channel, InstrumentId, fixed};
use deepstay::watch::{SPANS_S, TRENDS, Trend, Twin};
use deepstay::words::Words;

/// Height of the field, points.
const HEIGHT: f32 = 116.0;
/// Height of the lines of words over and under it, points.
const WORDS: f32 = 20.0;

/// How a twin's line is broken, points, and what it is called.
fn twin_line(twin: Twin) -> ((f32, f32), &'static str) {
    match twin {
        Twin::NoFault => ((8.0, 3.0), "no fault"),
        Twin::NobodyActs => ((2.0, 3.0), "nobody acts"),
        Twin::Automatic => ((8.0, 3.0), "automatic watch"),
    }
}

/// Draws it.
pub fn draw(ui: &mut Ui, pen: &Pen, board: &Board, deeds: &mut Vec<Deed>) {
    let quantity = TRENDS[board.set.trend % TRENDS.len()];
    let span_s = SPANS_S[board.set.span % SPANS_S.len()];
    let (now_s, from_s) = (board.seen.at_s, board.seen.at_s - span_s);
    let shown = board.seen.vessels[board.set.vessel.index()].readings.iter();
    let of_channel = |channel| {
        let mut mine = shown
            .clone()
            .filter(|s| (s.quantity, s.channel) == (quantity, channel));
        mine.next().map(|s| s.instrument)
    };
    let first = of_channel(Channel::Primary);
    let second = of_channel(Channel::Secondary);
    let samples = |trend: &Trend, of: Option<InstrumentId>| -> Vec<(i64, f64)> {
        let of = of.map(|id| trend.of(id, from_s));
        let all = of.into_iter().flatten();
        all.take_while(|(t, _)| *t <= now_s)
            .map(|(t, v)| (t, f64::from(v)))
            .collect()
    };
    let lines = [samples(board.trend, first), samples(board.trend, second)];
    let twins: Vec<(Twin, Vec<(i64, f64)>)> = board
        .twins
        .iter()
        .map(|run| (run.twin, samples(&run.trend, first)))
        .collect();
    ui.add_space(4.0);
    let (rect, response) = row(ui, HEIGHT + 2.0 * WORDS, Sense::click());
    pen.reached(&response);
    let field = Rect::from_min_max(rect.min + vec2(0.0, WORDS), rect.max - vec2(0.0, WORDS));
    pen.fill(field, Ink::Oxygen);
    let (low, high) = limits(board, quantity);
    let every = lines.iter().flatten().map(|(_, v)| *v);
    let seen: Vec<f64> = every.chain([low, high].into_iter().flatten()).collect();
    let least = seen.iter().copied().fold(f64::INFINITY, f64::min);
    let most = seen.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let scale = board.units.scale(quantity);
    let faint = FontId::proportional(TEXT);
    let name = format!("{}, last {}", quantity.words(), span(span_s));
    let above = rect.top() + 0.5 * WORDS;
    pen.words(
        pos2(rect.left() + 4.0, above),
        Side::Left,
        &name,
        faint.clone(),
        Ink::Line,
    );
    let below = rect.bottom() - 0.5 * WORDS;
    if !least.is_finite() {
        let words = "nothing seen yet";
        pen.words(field.center(), Side::Middle, words, faint, Ink::Faint);
        pen.frame(field, Ink::Wall);
        return;
    }
    let room = (0.08 * (most - least)).max(0.02 * most.abs()).max(1e-9);
    let (bottom, top) = (least - room, most + room);
    let x = |t: i64| field.left() + field.width() * (t - from_s) as f32 / span_s as f32;
    let y = |v: f64| {
        let share = ((v - bottom) / (top - bottom)).clamp(0.0, 1.0) as f32;
        field.bottom() - share * field.height()
    };
    // Past a limit the ground is not that of what is right.
    if let Some(high) = high {
        let past = Rect::from_min_max(field.min, pos2(field.right(), y(high)));
        pen.fill(past, Ink::Ghost);
    }
    if let Some(low) = low {
        let past = Rect::from_min_max(pos2(field.left(), y(low)), field.max);
        pen.fill(past, Ink::Ghost);
    }
    let curve = |samples: &[(i64, f64)]| -> Vec<Pos2> {
        samples.iter().map(|(t, v)| pos2(x(*t), y(*v))).collect()
    };
    for (twin, samples) in &twins {
        let (dashes, _) = twin_line(*twin);
        pen.dashed(&curve(samples), 1.2, dashes, Ink::Wall);
    }
    pen.dashed(&curve(&lines[1]), 1.4, (4.0, 3.0), Ink::Faint);
    let solid = curve(&lines[0]);
    if solid.len() > 1 {
        pen.line(&solid, 2.0, Ink::Line);
    }
    pen.frame(field, Ink::Wall);
    let bound = |v: Option<f64>, words: &str| v.map(|v| format!("{words} {}", scale.digits(v)));
    let ends: Vec<String> = [bound(low, "low"), bound(high, "high")]
        .into_iter()
        .flatten()
        .collect();
    let ends = match ends.is_empty() {
        true => format!("{} to {}", scale.digits(least), scale.digits(most)),
        false => ends.join("  "),
    };
    pen.words(
        pos2(rect.right() - 4.0, above),
        Side::Right,
        &ends,
        faint.clone(),
        Ink::Faint,
    );
    let keys = match (twins.is_empty(), lines[1].is_empty()) {
        (true, true) => String::new(),
        (true, false) => "dashed: second instrument".to_owned(),
        (false, _) => {
            let names: Vec<&str> = twins.iter().map(|(t, _)| twin_line(*t).1).collect();
            format!("faint: {}", names.join(", "))
        }
    };
    pen.words(
        pos2(rect.left() + 4.0, below),
        Side::Left,
        &keys,
        faint.clone(),
        Ink::Faint,
    );
    if twins.is_empty() {
        let clock = board.scenario.time().hour_and_minute(now_s);
        pen.words(
            pos2(rect.right() - 4.0, below),
            Side::Right,
            &clock,
            faint,
            Ink::Faint,
        );
    }
    let hint = "longer or shorter: keys < and >, or press";
    if response.on_hover_text(hint).clicked() {
        deeds.push(Deed::Trend(
            board.set.trend,
            (board.set.span + 1) % SPANS_S.len(),
        ));
    }
}

fn span(span_s: i64) -> String {
    match span_s {
        s if s < 3600 => format!("{} min", s / 60),
        s => format!("{} h", fixed(s as f64 / 3600.0, 0)),
    }
}
