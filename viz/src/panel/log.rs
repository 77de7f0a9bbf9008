//! What was said and done, the newest first.

use super::Board;
use super::theme::Pen;
use bevy_egui::egui::Ui;

/// Draws the page.
pub fn draw(ui: &mut Ui, pen: &Pen, board: &Board) {
    if board.log.is_empty() {
        ui.label(pen.faint("nothing said yet"));
    }
    for (clock, words) in board.log {
        ui.horizontal_top(|ui| {
            ui.label(pen.faint(clock));
            ui.label(words);
        });
    }
}
