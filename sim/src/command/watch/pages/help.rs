//! Keys and verbs, from the tables that dispatch them.

use super::super::app::App;
use super::super::keys::SCREEN_KEYS;
use super::super::style::heading;
use crate::job::SHELVED_MOST_S;
use crate::units::{clock_length, fixed};
use crate::watch::{BAND_BAR, CRACK, Hands, Keys, TABLE, info};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Draws the page.
pub fn draw(app: &App, frame: &mut Frame, area: Rect) {
    let mut lines = vec![heading("Keys of the screen")];
    lines.extend(
        SCREEN_KEYS
            .iter()
            .map(|(key, does)| Line::from(format!("{key:<12}{does}"))),
    );
    lines.push(Line::from(""));
    lines.push(heading(
        "Verbs: key, word, what it does; Tab in the order line shows what can follow",
    ));
    lines.extend(rows(&app.watch.kit.keys).map(Line::from));
    super::paged(app, lines, frame, area);
}

fn rows(keys: &Keys) -> impl Iterator<Item = String> {
    TABLE.iter().map(|row| {
        let key = keys.of_verb(row.verb).map_or(String::new(), String::from);
        format!("{key:<3}{:<12}{}", row.name, row.does)
    })
}

/// The verbs for a reader without the screen.
pub fn verbs() -> String {
    let mut text = String::from("Keys of the screen\n");
    for (key, does) in SCREEN_KEYS {
        text.push_str(&format!("  {key:<12}{does}\n"));
    }
    text.push_str("\nVerbs: key, line, what it does, and a line of it\n");
    for row in TABLE {
        let key = row.key;
        text.push_str(&format!(
            "  {key:<3}{}\n     {}: `{}`\n",
            row.form(),
            row.does,
            row.example
        ));
    }
    text.push_str("\nHow long acts take, where somebody has to go for them\n");
    for takes in Hands::built_in().all() {
        text.push_str(&format!(
            "  {:<11}{} to {} ({}: {})\n",
            info(takes.verb).name,
            clock_length(takes.least_s),
            clock_length(takes.most_s),
            takes.status,
            takes.source
        ));
    }
    text.push_str(&format!(
        "\nHouse figures: crack is {} %; auto-oxygen without a band stops {} bar over its set point; an alarm is \
         shelved for {} h at the most\n",
        fixed(CRACK * 100.0, 0),
        fixed(BAND_BAR, 2),
        SHELVED_MOST_S / 3600
    ));
    text.push_str(crate::CAUTION);
    text
}
