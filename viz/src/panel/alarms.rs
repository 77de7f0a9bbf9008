//! Alarms: what rings, the gravest that waits first, and what has been set aside.

use super::theme::Pen;
use super::{Board, Deed};
use bevy_egui::egui::{Sense, Ui, vec2};
use deepstay::job::AlarmNow;
use deepstay::watch::shown::{alarm_words, what_needs};
use deepstay::words::Names;

/// Draws the page.
pub fn draw(ui: &mut Ui, pen: &Pen, board: &Board, deeds: &mut Vec<Deed>) {
    ui.horizontal(|ui| {
        let silence = pen.button(ui, "silence", board.may_act);
        if silence.on_hover_text("stops the sounder").clicked() {
            deeds.push(Deed::Line("silence".to_owned()));
        }
        let all = pen.button(ui, "acknowledge all", board.may_act);
        if all
            .on_hover_text("every alarm that waits (key c, with silence)")
            .clicked()
        {
            deeds.push(Deed::Line("ack all".to_owned()));
        }
        if board.seen.sounding.iter().any(|s| *s) {
            ui.label(pen.strong("SOUNDER ON"));
        }
    });
    let shown = what_needs(board.seen);
    if shown.is_empty() {
        ui.add_space(8.0);
        ui.label(pen.faint("no alarms"));
    }
    for (number, alarm) in shown {
        one(ui, pen, board, number, alarm, deeds);
    }
    let aside: Vec<(usize, &AlarmNow)> = (1..)
        .zip(&board.seen.alarms)
        .filter(|(_, a)| !a.shows())
        .collect();
    if !aside.is_empty() || !board.seen.shelved.is_empty() {
        pen.head(ui, "Set aside");
        for (_, alarm) in aside {
            ui.label(alarm_words(
                board.scenario,
                board.units,
                board.seen.at_s,
                alarm,
            ));
        }
        for (name, _) in &board.seen.shelved {
            ui.label(format!(
                "{}: shelved, does not ring",
                board.scenario.limit(name)
            ));
        }
    }
}

fn one(
    ui: &mut Ui,
    pen: &Pen,
    board: &Board,
    number: usize,
    alarm: &AlarmNow,
    deeds: &mut Vec<Deed>,
) {
    ui.add_space(4.0);
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(24.0, 22.0), Sense::hover());
        pen.sign(rect.center(), alarm.name.severity);
        ui.vertical(|ui| {
            let words = alarm_words(board.scenario, board.units, board.seen.at_s, alarm);
            let text = match alarm.state.waits() {
                true => pen.strong(&words),
                false => bevy_egui::egui::RichText::new(words),
            };
            ui.label(text);
            ui.horizontal(|ui| {
                let waits = alarm.state.waits() && board.may_act;
                let ack = pen.button(ui, "acknowledge", waits);
                if ack
                    .on_hover_text(format!("alarm {number}: `ack {number}`"))
                    .clicked()
                {
                    deeds.push(Deed::Line(format!("ack {number}")));
                }
                let shelve = pen.button(ui, "shelve", board.may_act);
                let hint = "inhibits it for a time; it still runs".to_owned();
                if shelve.on_hover_text(hint).clicked() {
                    deeds.push(Deed::Begin(format!("shelve {number} for 20 min")));
                }
            });
        });
    });
}
