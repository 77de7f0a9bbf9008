//! Gas: the lines of the chosen vessel from bank to vessel, with the symbols of ISO 14617 (their shapes from memory), and
//! every bank by label, analysis and gauge.

use super::theme::{Pen, Side, TEXT, row, strong};
use super::{Board, Deed, vessel_line};
use crate::drawing::{Ink, Type};
use bevy_egui::egui::{FontId, Rect, Sense, Ui, pos2, vec2};
use deepstay::record::{LineName, ValveName};
use deepstay::units::{BankId, Duty, Quantity, fixed};
use deepstay::watch::shown::{handle, opening};
use deepstay::words::{Names, Words};

/// Openings that a valve is set to by hand, in the words of the order line.
const OPENINGS: [&str; 5] = ["shut", "crack", "quarter", "half", "full"];

/// Draws the page.
pub fn draw(ui: &mut Ui, pen: &Pen, board: &Board, deeds: &mut Vec<Deed>) {
    vessel_line(ui, pen, board, "", deeds);
    let vessel = &board.seen.vessels[board.set.vessel.index()];
    for (line, bank) in &vessel.lines {
        one_line(ui, pen, board, *line, *bank, deeds);
    }
    for (valve, by) in &vessel.handles {
        let fed = matches!(valve, ValveName::BlowDown(_) | ValveName::Oxygen(_));
        if !fed {
            outlet(ui, pen, board, *valve, *by, deeds);
        }
    }
    pen.head(ui, "Banks");
    for (id, plate) in (0u8..).map(BankId).zip(&board.scenario.steel.banks) {
        bank(ui, pen, board, id, plate.duty, deeds);
    }
}

fn name_of(board: &Board, valve: ValveName) -> String {
    match valve {
        ValveName::Equalise(door) => board.scenario.door(door),
        ValveName::BlowDown(c)
        | ValveName::Oxygen(c)
        | ValveName::Bleed(c)
        | ValveName::Exhaust(c)
        | ValveName::Drain(c) => board.scenario.compartment(c),
    }
}

/// A valve's handle, with a list of openings where it is pressed.
fn valve(
    ui: &mut Ui,
    pen: &Pen,
    board: &Board,
    (of, by): (ValveName, f64),
    rect: Rect,
    deeds: &mut Vec<Deed>,
) {
    pen.valve(rect.center(), by > 0.0);
    let order = format!("{} {}", handle(of), name_of(board, of));
    let id = ui.id().with(("valve", &order));
    let response = ui.interact(rect, id, Sense::click());
    pen.reached(&response);
    let hint = format!("{order}: {}", opening(by));
    let response = response.on_hover_text(hint);
    if board.may_act {
        bevy_egui::egui::Popup::menu(&response).show(|ui| {
            for how in OPENINGS {
                if ui.button(how).clicked() {
                    deeds.push(Deed::Line(format!("{order} {how}")));
                }
            }
            if ui.button("another opening").clicked() {
                deeds.push(Deed::Begin(format!("{order} ")));
            }
        });
    }
}

/// A line from its bank to the vessel: bank, its stop, regulator, gauge, and the valve at the vessel where it has one.
fn one_line(
    ui: &mut Ui,
    pen: &Pen,
    board: &Board,
    line: LineName,
    bank: Option<BankId>,
    deeds: &mut Vec<Deed>,
) {
    let (rect, _) = row(ui, 58.0, Sense::hover());
    let plain = FontId::proportional(TEXT);
    let above = rect.top() + 11.0;
    let name = board.scenario.line(line);
    pen.words(
        pos2(rect.left() + 4.0, above),
        Side::Left,
        name,
        plain.clone(),
        Ink::Faint,
    );
    let y = rect.top() + 38.0;
    let vessel = &board.seen.vessels[line.compartment().index()];
    let fitted = vessel.handles.iter().find(|(v, _)| {
        matches!(
            (line, v),
            (LineName::Supply(a), ValveName::BlowDown(b)) | (LineName::Oxygen(a), ValveName::Oxygen(b)) if a == *b
        )
    });
    let stopped = bank.is_some_and(|b| board.seen.banks[b.index()].stopped);
    let flows = fitted.is_none_or(|(_, by)| *by > 0.0) && bank.is_some() && !stopped;
    let (start, end) = (rect.left() + 62.0, rect.right() - 26.0);
    pen.line(&[pos2(start, y), pos2(end, y)], 2.0, Ink::Line);
    if let (true, Some(bank), true) = (flows, bank, fitted.is_some()) {
        let bands = bands(board, bank);
        pen.line(&[pos2(start, y), pos2(end, y)], 5.0, Ink::Line);
        pen.line(&[pos2(start, y), pos2(end, y)], 3.0, bands[0]);
        pen.dashed(&[pos2(start, y), pos2(end, y)], 3.0, (7.0, 6.0), bands[1]);
    }
    // The bank, or that none is lined up.
    let at = Rect::from_min_max(pos2(rect.left(), y - 14.0), pos2(start, y + 14.0));
    let words = bank.map_or("none".to_owned(), |b| board.scenario.bank(b));
    let face = FontId::new(TEXT, strong());
    pen.words(
        at.left_center() + vec2(4.0, 0.0),
        Side::Left,
        &words,
        face,
        Ink::Line,
    );
    let id = ui.id().with(("bank of", &name, line.compartment()));
    let response = ui.interact(at, id, Sense::click());
    pen.reached(&response);
    let to = format!("{name} {}", board.scenario.compartment(line.compartment()));
    let response =
        response.on_hover_text(format!("lines {to} up to another bank, or shuts it off"));
    if board.may_act {
        bevy_egui::egui::Popup::menu(&response).show(|ui| {
            for plate in &board.scenario.steel.banks {
                let words = format!("{}  {}", plate.name, plate.duty.words());
                if ui.button(words).clicked() {
                    deeds.push(Deed::Line(format!("line-up {to} {}", plate.name)));
                }
            }
            if ui.button("shut off").clicked() {
                deeds.push(Deed::Line(format!("isolate {to}")));
            }
        });
    }
    if let Some(bank) = bank {
        stop(ui, pen, board, bank, pos2(start + 20.0, y), deeds);
        if let Some(plate) = vessel.regulators.iter().find(|r| r.line == line) {
            let at = pos2(start + 62.0, y);
            regulator(pen, at);
            let scale = board.units.scale(Quantity::GaugePressure);
            let over = format!("{} over", scale.digits(plate.over_bar));
            pen.words(
                pos2(at.x, above),
                Side::Middle,
                &over,
                FontId::proportional(TEXT),
                Ink::Line,
            );
            let gauge = pos2(start + 150.0, y);
            pen.line(&[gauge, gauge - vec2(0.0, 9.0)], 1.4, Ink::Line);
            let shows = plate
                .gauge_bar
                .map_or("-".to_owned(), |bar| scale.plain_text(bar));
            pen.words(
                pos2(gauge.x, above),
                Side::Middle,
                &shows,
                FontId::proportional(TEXT),
                Ink::Line,
            );
            pen.disc(gauge, 9.0, Ink::Oxygen, Ink::Line);
            pen.words(
                gauge,
                Side::Middle,
                "P",
                FontId::proportional(TEXT),
                Ink::Line,
            );
        }
    }
    if let Some((of, by)) = fitted {
        let rect = Rect::from_center_size(pos2(end - 56.0, y), vec2(28.0, 26.0));
        valve(ui, pen, board, (*of, *by), rect, deeds);
        pen.words(
            pos2(end - 56.0, above),
            Side::Middle,
            &opening(*by),
            plain,
            Ink::Line,
        );
    }
    // The vessel: a wall with the line through it.
    let wall = Rect::from_min_max(pos2(end, y - 14.0), pos2(rect.right() - 2.0, y + 14.0));
    pen.fill(wall, Ink::Room);
    pen.frame(wall, Ink::Line);
}

/// The stop of a bank.
fn stop(
    ui: &mut Ui,
    pen: &Pen,
    board: &Board,
    bank: BankId,
    at: bevy_egui::egui::Pos2,
    deeds: &mut Vec<Deed>,
) {
    let stopped = board.seen.banks[bank.index()].stopped;
    pen.valve(at, !stopped);
    let name = board.scenario.bank(bank);
    let rect = Rect::from_center_size(at, vec2(28.0, 26.0));
    let id = ui.id().with(("stop", &name, at.y as i32));
    let (is, other) = match stopped {
        true => ("SHUT", "open"),
        false => ("open", "shut"),
    };
    let hint = format!("stop of {name}: {is}; press to {other} it");
    let response = ui.interact(rect, id, Sense::click()).on_hover_text(hint);
    pen.reached(&response);
    if board.may_act && response.clicked() {
        deeds.push(Deed::Begin(format!("bank-stop {name} {other}")));
    }
}

/// A valve that holds the pressure behind it: a valve with its spring over it.
fn regulator(pen: &Pen, at: bevy_egui::egui::Pos2) {
    pen.valve(at, true);
    let cap = [
        at + vec2(-6.0, -9.0),
        at + vec2(6.0, -9.0),
        at + vec2(6.0, -13.0),
        at + vec2(-6.0, -13.0),
    ];
    pen.line(&[at, at + vec2(0.0, -9.0)], 1.4, Ink::Line);
    pen.polygon(&cap, Ink::Oxygen, Ink::Line);
}

/// A valve that lets gas out of the vessel, or through a door.
fn outlet(ui: &mut Ui, pen: &Pen, board: &Board, of: ValveName, by: f64, deeds: &mut Vec<Deed>) {
    let words = match of {
        ValveName::Equalise(_) => format!("equalise {}", name_of(board, of)),
        other => handle(other).to_owned(),
    };
    // A name that would reach the valve has a line of its own over it.
    let long = Type::TEXT.width(&words) > f64::from(ui.available_width()) - 150.0;
    let (rect, _) = row(ui, if long { 48.0 } else { 28.0 }, Sense::hover());
    let y = rect.bottom() - 14.0;
    let plain = FontId::proportional(TEXT);
    let name_y = rect.top() + 14.0;
    pen.words(
        pos2(rect.left() + 4.0, name_y),
        Side::Left,
        &words,
        plain.clone(),
        Ink::Faint,
    );
    let end = rect.right() - 26.0;
    pen.line(&[pos2(end - 56.0, y), pos2(end, y)], 2.0, Ink::Line);
    let at = Rect::from_center_size(pos2(end - 56.0, y), vec2(28.0, 26.0));
    valve(ui, pen, board, (of, by), at, deeds);
    pen.words(
        pos2(end - 76.0, y),
        Side::Right,
        &opening(by),
        plain,
        Ink::Line,
    );
}

fn bands(board: &Board, bank: BankId) -> [Ink; 2] {
    let shown = &board.seen.banks[bank.index()];
    let duty = board.scenario.steel.banks[bank.index()].duty;
    let o2 = shown.analysed_o2.unwrap_or(shown.label_o2);
    board
        .gases
        .chip(o2, duty == Duty::Air, duty != Duty::Oxygen)
        .0
}

/// A bank: its chip, name, what its label and its last analysis say, and its gauge with a bar as full as that says.
fn bank(ui: &mut Ui, pen: &Pen, board: &Board, id: BankId, duty: Duty, deeds: &mut Vec<Deed>) {
    let (rect, response) = row(ui, 26.0, Sense::click());
    let y = rect.center().y;
    let plate = &board.scenario.steel.banks[id.index()];
    let shown = &board.seen.banks[id.index()];
    let [left, right] = bands(board, id);
    let chip = Rect::from_min_max(
        pos2(rect.left() + 4.0, y - 6.0),
        pos2(rect.left() + 22.0, y + 6.0),
    );
    let middle = chip.center().x;
    pen.fill(
        Rect::from_min_max(chip.min, pos2(middle, chip.bottom())),
        left,
    );
    pen.fill(
        Rect::from_min_max(pos2(middle, chip.top()), chip.max),
        right,
    );
    pen.frame(chip, Ink::Line);
    let face = FontId::new(TEXT, strong());
    pen.words(
        pos2(rect.left() + 28.0, y),
        Side::Left,
        &plate.name,
        face,
        Ink::Line,
    );
    let percent = |o2: f64| fixed(o2 * 100.0, if o2 < 0.1 { 1 } else { 0 });
    let helium = duty != Duty::Oxygen;
    let (_, label) = board.gases.chip(shown.label_o2, duty == Duty::Air, helium);
    let analysed = shown.analysed_o2.map_or("not analysed".to_owned(), |o2| {
        format!("found {} %", percent(o2))
    });
    let plain = FontId::proportional(TEXT);
    let words = match shown.stopped {
        true => format!("{label}  STOP SHUT"),
        false => label,
    };
    pen.words(
        pos2(rect.left() + 78.0, y),
        Side::Left,
        &words,
        plain.clone(),
        Ink::Line,
    );
    let scale = board.units.scale(Quantity::GaugePressure);
    let gauge = shown
        .gauge_bar
        .map_or("-".to_owned(), |bar| scale.plain_text(bar));
    pen.words(
        pos2(rect.right() - 54.0, y),
        Side::Right,
        &gauge,
        plain,
        Ink::Line,
    );
    let bar = Rect::from_min_max(
        pos2(rect.right() - 48.0, y - 6.0),
        pos2(rect.right() - 2.0, y + 6.0),
    );
    let full_bar = plate.fill_gauge_pa.max(1.0) / 1e5;
    let share = shown
        .gauge_bar
        .map_or(0.0, |b| (b / full_bar).clamp(0.0, 1.0));
    pen.fill(bar, Ink::Oxygen);
    let held = Rect::from_min_max(
        bar.min,
        pos2(bar.left() + bar.width() * share as f32, bar.bottom()),
    );
    pen.fill(held, Ink::Faint);
    pen.frame(bar, Ink::Line);
    pen.reached(&response);
    let hint = format!("{}: {}; press to analyse it", duty.words(), analysed);
    if response.on_hover_text(hint).clicked() && board.may_act {
        deeds.push(Deed::Begin(format!("analyse {}", plate.name)));
    }
}
