//! Bells and divers: the runs of the day, where each bell is, and where divers said they are and what they breathe from.

use super::theme::{Pen, Side, TEXT, row, strong};
use super::{Board, Deed};
use crate::drawing::Ink;
use bevy_egui::egui::{FontId, Rect, Sense, Ui, pos2};
use deepstay::record::{BellPhase, BreathingPath, What, Whereabouts};
use deepstay::units::{CompartmentId, CompartmentKind, DiverId, Quantity};
use deepstay::words::{Names, Words};

/// Hours before the present and after it that the chart shows, s.
const ROUND_S: i64 = 12 * 3600;

/// Draws the page.
pub fn draw(ui: &mut Ui, pen: &Pen, board: &Board, deeds: &mut Vec<Deed>) {
    let steel = &board.scenario.steel;
    let ids = (0u8..).map(CompartmentId).zip(&steel.compartments);
    let bells: Vec<CompartmentId> = ids
        .filter(|(_, plate)| plate.kind == CompartmentKind::Bell)
        .map(|(id, _)| id)
        .collect();
    if bells.is_empty() {
        ui.label("This spread has no bell.");
    }
    for bell in bells {
        one_bell(ui, pen, board, bell, deeds);
    }
    pen.head(ui, "Divers, as they said");
    for (id, heard) in (0u8..).map(DiverId).zip(&board.seen.divers) {
        let at = match heard.at {
            Whereabouts::Deck => "on deck".to_owned(),
            Whereabouts::In(c) => board.scenario.compartment(c),
            Whereabouts::Water(bell) => {
                format!("in the water, {}", board.scenario.compartment(bell))
            }
        };
        let does = match heard.at {
            Whereabouts::Deck => String::new(),
            _ => format!(", {}", heard.does.words()),
        };
        let path = match heard.path {
            BreathingPath::Ambient => String::new(),
            path => format!(", {}", path.words()),
        };
        let steel = &board.scenario.steel;
        let may_use = match heard.at {
            Whereabouts::Deck => false,
            Whereabouts::Water(_) => true,
            Whereabouts::In(c) => steel.compartments[c.index()].kind == CompartmentKind::Bell,
        };
        let gauge = board.units.scale(Quantity::GaugePressure);
        let bail_out = heard
            .bail_out_bar
            .filter(|_| may_use)
            .map_or(String::new(), |bar| {
                format!(", bail-out {}", gauge.plain_text(bar))
            });
        ui.horizontal_wrapped(|ui| {
            ui.label(pen.strong(&board.scenario.initials(id)));
            ui.label(format!("{at}{does}{path}{bail_out}"));
        });
    }
}

fn one_bell(ui: &mut Ui, pen: &Pen, board: &Board, bell: CompartmentId, deeds: &mut Vec<Deed>) {
    let name = board.scenario.compartment(bell);
    let vessel = &board.seen.vessels[bell.index()];
    let depth = board.units.scale(Quantity::Depth);
    ui.horizontal(|ui| {
        let response = ui.selectable_label(false, pen.heading(&name));
        if response.on_hover_text("its readings").clicked() {
            deeds.push(Deed::Choose(bell));
            deeds.push(Deed::Open(super::Page::Vessel));
        }
        let shows = board.seen.depth_msw(bell);
        ui.label(shows.map_or("-".to_owned(), |msw| depth.plain_text(msw)));
        if let Some((_, wire)) = vessel.winch_msw.filter(|(_, wire)| *wire > 0.0) {
            ui.label(pen.faint(&format!("wire {}", depth.plain_text(wire))));
        }
    });
    let last = board.feed.iter().rev().find_map(|e| match e.what {
        What::BellPhase {
            bell: of,
            run,
            phase,
        } if of == bell => Some((e.at, run, phase)),
        _ => None,
    });
    let words = match last {
        None => "no run yet".to_owned(),
        Some((at, run, phase)) => {
            let clock = board.scenario.time().hour_and_minute(at);
            format!(
                "run {}: {}, since {clock}",
                u32::from(run) + 1,
                phase.words()
            )
        }
    };
    ui.label(words);
    let out = board.seen.divers_at(Whereabouts::Water(bell));
    let out: Vec<String> = out.map(|d| board.scenario.initials(d)).collect();
    if !out.is_empty() {
        ui.label(format!("in the water: {}", out.join(" ")));
    }
    if let Some((_, task)) = board.work.iter().find(|(of, _)| *of == bell) {
        ui.label(format!("task: {task}"));
    }
    chart(ui, pen, board, bell);
}

/// A phase of a run by its work in the water, its ways, or its readying.
fn ink(phase: BellPhase) -> Ink {
    match phase {
        BellPhase::FirstOut | BellPhase::SecondOut => Ink::Line,
        BellPhase::Lowering
        | BellPhase::DoorOpen
        | BellPhase::FirstBack
        | BellPhase::SecondBack
        | BellPhase::BottomSeal
        | BellPhase::Recovery => Ink::Wall,
        _ => Ink::Ghost,
    }
}

/// The runs of a bell round the present: as told, and after it as planned.
fn chart(ui: &mut Ui, pen: &Pen, board: &Board, bell: CompartmentId) {
    let (rect, _) = row(ui, 62.0, Sense::hover());
    let now_s = board.seen.at_s;
    let x = |t: i64| {
        let share = (t - now_s + ROUND_S) as f32 / (2 * ROUND_S) as f32;
        rect.left() + share.clamp(0.0, 1.0) * rect.width()
    };
    let strip = |from: i64, to: i64| {
        Rect::from_min_max(
            pos2(x(from), rect.top() + 4.0),
            pos2(x(to), rect.top() + 24.0),
        )
    };
    let ground = strip(now_s - ROUND_S, now_s + ROUND_S);
    pen.fill(ground, Ink::Oxygen);
    let mut under_way: Option<(i64, BellPhase)> = None;
    let mine = board.feed.iter().filter_map(|e| match e.what {
        What::BellPhase {
            bell: of, phase, ..
        } if of == bell => Some((e.at, phase)),
        _ => None,
    });
    let close = |from: Option<(i64, BellPhase)>, to: i64| {
        if let Some((at, phase)) = from.filter(|_| to > now_s - ROUND_S) {
            pen.fill(strip(at, to), ink(phase));
        }
    };
    for (at, phase) in mine {
        close(under_way, at);
        under_way = (phase != BellPhase::Done).then_some((at, phase));
    }
    close(under_way, now_s);
    for run in &board.scenario.plan.bell_runs {
        if run.bell == bell && run.at > now_s && run.at < now_s + ROUND_S {
            let end = run.at + run.divers.len() as i64 * run.in_water_s;
            pen.frame(strip(run.at, end), Ink::Wall);
        }
    }
    pen.frame(ground, Ink::Wall);
    pen.line(
        &[
            pos2(x(now_s), rect.top()),
            pos2(x(now_s), rect.top() + 28.0),
        ],
        2.0,
        Ink::Line,
    );
    let face = FontId::proportional(TEXT);
    let time = board.scenario.time();
    let below = rect.top() + 42.0;
    let clock = |t: i64| time.hour_and_minute(t);
    pen.words(
        pos2(rect.left(), below),
        Side::Left,
        &clock(now_s - ROUND_S),
        face.clone(),
        Ink::Faint,
    );
    let now = FontId::new(TEXT, strong());
    pen.words(
        pos2(x(now_s), below),
        Side::Middle,
        &clock(now_s),
        now,
        Ink::Line,
    );
    pen.words(
        pos2(rect.right(), below),
        Side::Right,
        &clock(now_s + ROUND_S),
        face,
        Ink::Faint,
    );
}
