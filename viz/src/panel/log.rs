//! What was said and done, the newest first.

use super::Board;
use super::theme::Pen;
use bevy_egui::egui::{Align, Layout, Ui, vec2};

/// Draws the page.
pub fn draw(ui: &mut Ui, pen: &Pen, board: &Board) {
    if board.log.is_empty() {
        ui.label(pen.faint("nothing said yet"));
    }
    for (clock, words) in board.log {
        ui.horizontal_top(|ui| {
            ui.label(pen.faint(clock));
            let room = vec2(ui.available_width(), 0.0);
            ui.allocate_ui_with_layout(room, Layout::top_down(Align::LEFT), |ui| {
                ui.label(words);
            });
        });
    }
}
