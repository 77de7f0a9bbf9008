//! One vessel: its readings with the band of their limits, the trend of one, its lines and machines.

use super::band::band;
use super::theme::{Pen, Side, TEXT, row, strong};
use super::{Board, Deed, trend, vessel_line};
use crate::drawing::Ink;
use crate::stage::Truth;
use bevy_egui::egui::{Align, FontId, Layout, Rect, Sense, Ui, pos2, vec2};
use deepstay::job::AlarmNow;
use deepstay::record::{Fitness, Machine, ValveName};
use deepstay::units::{Channel, CompartmentId, DiverId, Quantity};
use deepstay::watch::TRENDS;
use deepstay::watch::shown::{cell, fed, handle, heads, lamp, opening};
use deepstay::words::{Names, Words};

/// Draws the page.
pub fn draw(ui: &mut Ui, pen: &Pen, board: &Board, deeds: &mut Vec<Deed>) {
    let at = board.set.vessel;
    let vessel = &board.seen.vessels[at.index()];
    let inside: Vec<String> = board
        .seen
        .divers_in(at)
        .map(|d| board.scenario.initials(d))
        .collect();
    let aside = match (inside.len(), heads(board.seen, at)) {
        (0, heads) if heads.is_empty() => vessel.phase.words().to_owned(),
        (n, _) if n > 4 => format!("{n} inside"),
        (_, _) if inside.is_empty() => heads(board.seen, at),
        _ => inside.join(" "),
    };
    vessel_line(ui, pen, board, &aside, deeds);
    if let Some(truth) = board.truth {
        truly(ui, pen, board, truth);
    }
    for (k, quantity) in TRENDS.into_iter().enumerate() {
        reading(ui, pen, board, quantity, k, deeds);
    }
    trend::draw(ui, pen, board, deeds);
    pen.head(ui, "Lines");
    for (line, bank) in &vessel.lines {
        let words = fed(board.scenario, board.seen, board.units, *line, *bank);
        pair(ui, pen, board.scenario.line(*line), &words);
    }
    let handles =
        vessel
            .handles
            .iter()
            .filter(|(_, by)| *by > 0.0)
            .map(|(valve, by)| match valve {
                ValveName::Equalise(door) => {
                    format!("equalise {} {}", board.scenario.door(*door), opening(*by))
                }
                valve => format!("{} {}", handle(*valve), opening(*by)),
            });
    let open: Vec<String> = handles.collect();
    let words = match open.is_empty() {
        true => "all shut".to_owned(),
        false => open.join(", "),
    };
    pair(ui, pen, "valves", &words);
    for (machine, _) in vessel.machines.iter().copied() {
        if let Some(lamp) = lamp(board.seen, at, machine) {
            let hours = vessel.absorbent_h.filter(|_| machine == Machine::Fan);
            let absorbent = hours.map_or(String::new(), |h| format!(", absorbent {h:.1} h"));
            pair(ui, pen, machine.words(), &format!("{lamp}{absorbent}"));
        }
    }
    if let Some(shut) = vessel.gagged {
        let words = if shut {
            "SHUT: it lifts no more"
        } else {
            "open"
        };
        pair(ui, pen, "gag valve", words);
    }
}

/// What had gone wrong, and who was not where or how he was thought to be.
fn truly(ui: &mut Ui, pen: &Pen, board: &Board, truth: &Truth) {
    let mut lines = truth.faults.clone();
    let divers = (0u8..).map(DiverId).zip(&truth.divers);
    for (diver, (whereabouts, fitness)) in divers {
        let said = board.seen.divers[diver.index()].at;
        if *fitness != Fitness::Well || said != *whereabouts {
            let who = board.scenario.initials(diver);
            let truly = board.scenario.whereabouts(*whereabouts);
            lines.push(format!("{who}: {}, {truly}", fitness.words()));
        }
    }
    if lines.is_empty() {
        ui.label(pen.faint("truly nothing has gone wrong"));
    }
    for words in lines {
        ui.label(pen.strong(&format!("true: {words}")));
    }
}

/// A name and what stands beside it.
fn pair(ui: &mut Ui, pen: &Pen, name: &str, words: &str) {
    ui.horizontal_top(|ui| {
        let width = 124.0;
        let (rect, _) = ui.allocate_exact_size(vec2(width, TEXT + 4.0), Sense::hover());
        let face = FontId::proportional(TEXT);
        let at = pos2(rect.left(), rect.center().y);
        pen.words(at, Side::Left, name, face, Ink::Faint);
        // Columns of a terminal are none here.
        let words: Vec<&str> = words.split_whitespace().collect();
        let room = vec2(ui.available_width(), 0.0);
        ui.allocate_ui_with_layout(room, Layout::top_down(Align::LEFT), |ui| {
            ui.label(words.join(" "));
        });
    });
}

/// The gravest alarm that rings of a reading.
fn rings<'a>(board: &'a Board, at: CompartmentId, quantity: Quantity) -> Option<&'a AlarmNow> {
    let mine = board
        .seen
        .alarms
        .iter()
        .filter(|a| a.shows() && (a.name.compartment, a.name.quantity) == (at, quantity));
    mine.max_by_key(|a| (a.state.waits(), a.name.severity))
}

fn reading(
    ui: &mut Ui,
    pen: &Pen,
    board: &Board,
    quantity: Quantity,
    k: usize,
    deeds: &mut Vec<Deed>,
) {
    let at = board.set.vessel;
    let fitted = board.seen.vessels[at.index()]
        .readings
        .iter()
        .any(|s| s.quantity == quantity);
    if !fitted {
        return;
    }
    let true_value = board.truth.and_then(|t| t.of_vessel(at, quantity));
    let height = if true_value.is_some() { 46.0 } else { 30.0 };
    let (rect, response) = row(ui, height, Sense::click());
    pen.reached(&response);
    let alarm = rings(board, at, quantity);
    if alarm.is_some() {
        pen.fill(rect, Ink::Light);
    } else if board.set.trend == k {
        pen.fill(rect, Ink::Hull);
    }
    let y = rect.top() + 15.0;
    let plain = FontId::proportional(TEXT);
    let name_x = rect.left() + if alarm.is_some() { 26.0 } else { 4.0 };
    if let Some(alarm) = alarm {
        pen.sign(pos2(rect.left() + 13.0, y), alarm.name.severity);
    }
    pen.words(
        pos2(name_x, y),
        Side::Left,
        quantity.words(),
        plain.clone(),
        Ink::Line,
    );
    let shows = |channel| cell(board.seen, board.units, at, quantity, channel);
    let value_x = rect.left() + 176.0;
    let face = FontId::new(18.0, strong());
    pen.words(
        pos2(value_x, y),
        Side::Right,
        &shows(Channel::Primary),
        face,
        Ink::Line,
    );
    let unit = board.units.scale(quantity).plain;
    pen.words(
        pos2(value_x + 5.0, y),
        Side::Left,
        unit,
        plain.clone(),
        Ink::Faint,
    );
    let second = shows(Channel::Secondary);
    if second != "-" {
        let fixed = FontId::proportional(TEXT);
        pen.words(
            pos2(rect.left() + 276.0, y),
            Side::Right,
            &second,
            fixed,
            Ink::Faint,
        );
    }
    let gauge = Rect::from_min_max(
        pos2(rect.left() + 284.0, y - 6.0),
        pos2(rect.right() - 2.0, y + 6.0),
    );
    let value = board.seen.reading(at, quantity, Channel::Primary);
    band(pen, board, quantity, value, gauge);
    if let Some(value) = true_value {
        let digits = board.units.scale(quantity).digits(value);
        let y = rect.top() + 36.0;
        pen.words(pos2(name_x, y), Side::Left, "true", plain, Ink::Faint);
        let face = FontId::new(TEXT, strong());
        pen.words(pos2(value_x, y), Side::Right, &digits, face, Ink::Line);
    }
    let hint = format!("trend of {} (keys + and -)", quantity.words());
    if response.on_hover_text(hint).clicked() {
        deeds.push(Deed::Trend(k, board.set.span));
    }
}
