//! Keys of the screen, and the verbs of the order line with theirs.

use super::Board;
use super::theme::Pen;
use bevy_egui::egui::Ui;
use deepstay::watch::TABLE;

/// Keys of the screen itself, and what each does.
pub const KEYS: &[(&str, &str)] = &[
    ("space", "time passes, or stands"),
    ("[  ]", "slower, faster"),
    ("left  right", "a minute back, on"),
    ("shift left, right", "an hour back, on"),
    ("ctrl left, right", "the last event, the next"),
    ("home  end", "the first second, the last reached"),
    ("f", "the present again"),
    (":", "order line; tab completes it"),
    ("J", "goes to a time; on watch, another branch"),
    ("c", "silence, and acknowledge all"),
    ("up  down", "the vessel before, after"),
    ("tab  enter", "goes to what can be pressed, presses it"),
    ("esc", "leaves what was gone to"),
    ("1 to 6", "pages"),
    ("+  -", "another trend"),
    ("<  >", "a shorter, a longer trend"),
    ("F2", "timeline: job, day, hour"),
    ("F3", "indicated, or true (looking back)"),
    ("F4", "the panel beside the picture, or none"),
    ("F5", "high contrast"),
    ("F6", "moving parts stand still"),
    ("F7", "gas colours: EN 1089-3, US Navy"),
    ("u", "metric, imperial"),
    ("ctrl + and -", "larger, smaller letters"),
    ("?", "this page"),
    ("Q", "leaves"),
];

/// Draws the page.
pub fn draw(ui: &mut Ui, pen: &Pen, board: &Board) {
    for (key, does) in KEYS {
        line(ui, pen, key, does);
    }
    pen.head(ui, "Verbs");
    for row in TABLE {
        let key = board
            .keys
            .of_verb(row.verb)
            .map_or(String::new(), |k| k.to_string());
        line(ui, pen, &key, &format!("{}: {}", row.form(), row.does));
    }
}

fn line(ui: &mut Ui, pen: &Pen, key: &str, does: &str) {
    ui.horizontal_wrapped(|ui| {
        ui.label(pen.strong(key));
        ui.label(does);
    });
}
