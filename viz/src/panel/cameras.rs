//! Cameras: who was last seen in each vessel, and when. A camera has blind corners: whom it does not show may be there.

use super::theme::{Pen, Side, TEXT, row, strong};
use super::{Board, Deed};
use crate::drawing::Ink;
use bevy_egui::egui::{FontId, Rect, Sense, Ui, pos2, vec2};
use deepstay::record::What;
use deepstay::units::{CompartmentId, DiverId};
use deepstay::words::Names;

/// Draws the page.
pub fn draw(ui: &mut Ui, pen: &Pen, board: &Board, deeds: &mut Vec<Deed>) {
    ui.label(pen.faint("A camera has blind corners: ask who is there."));
    let plates = (0u8..)
        .map(CompartmentId)
        .zip(&board.scenario.steel.compartments);
    for (c, _) in plates.filter(|(_, plate)| plate.kind.people_go_into()) {
        let name = board.scenario.compartment(c);
        let last = board.feed.iter().rev().find_map(|e| match e.what {
            What::Camera {
                compartment, seen, ..
            } if compartment == c => Some((e.at, seen)),
            _ => None,
        });
        let (rect, response) = row(ui, 62.0, Sense::click());
        let screen = Rect::from_min_size(rect.min + vec2(2.0, 4.0), vec2(108.0, 54.0));
        pen.fill(screen, Ink::Faint);
        pen.frame(screen, Ink::Line);
        let beside = screen.right() + 10.0;
        let strong = FontId::new(TEXT, strong());
        pen.words(
            pos2(beside, rect.top() + 16.0),
            Side::Left,
            &name,
            strong,
            Ink::Line,
        );
        let plain = FontId::proportional(TEXT);
        let words = match last {
            None => "not looked at".to_owned(),
            Some((at, seen)) => {
                let who: Vec<DiverId> = (0..64)
                    .filter(|k| seen >> k & 1 == 1)
                    .map(DiverId)
                    .collect();
                for (k, diver) in who.iter().enumerate() {
                    let (column, line) = (k % 4, k / 4);
                    let at =
                        screen.min + vec2(14.0 + 26.0 * column as f32, 15.0 + 24.0 * line as f32);
                    let initials = board.scenario.initials(*diver);
                    pen.words(at, Side::Middle, &initials, plain.clone(), Ink::Room);
                }
                let clock = board.scenario.time().hour_and_minute(at);
                format!("{} seen at {clock}", who.len())
            }
        };
        pen.words(
            pos2(beside, rect.top() + 40.0),
            Side::Left,
            &words,
            plain,
            Ink::Faint,
        );
        pen.reached(&response);
        let hint = format!("looks at the camera of {name}: `camera {name}`");
        if response.on_hover_text(hint).clicked() && board.may_act {
            deeds.push(Deed::Line(format!("camera {name}")));
        }
    }
}
