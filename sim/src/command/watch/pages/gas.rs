//! Gas: every bank by label, analysis and gauge, and the lines it feeds.

use super::super::app::App;
use super::super::style::heading;
use crate::job::Indicated;
use crate::report::hung;
use crate::units::{BankId, Quantity, fixed};
use crate::words::{Names, Words};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use ratatui::widgets::Paragraph;

/// Columns before what a bank is lined up to.
const FEEDS: usize = 64;

/// Draws the page.
pub fn draw(app: &App, seen: &Indicated, frame: &mut Frame, area: Rect) {
    let scenario = app.watch.session.scenario();
    let gauge = app.units.scale(Quantity::GaugePressure);
    let mut lines = vec![
        heading("Gas by label, analysis and gauge"),
        Line::from(format!(
            "{:<12}{:<18}{:>10}{:>12}{:>10}  lined up to",
            "bank", "duty", "label O2", "analysed", gauge.plain
        )),
    ];
    let room = usize::from(area.height).saturating_sub(3);
    let banks: Vec<_> = (0u8..).map(BankId).zip(&scenario.steel.banks).collect();
    let first = app.turned.min(banks.len().saturating_sub(1));
    let (mut used, mut shown_to) = (0, first);
    for (id, plate) in banks.iter().skip(first) {
        let shown = &seen.banks[id.index()];
        let percent = |o2: f64| format!("{} %", fixed(o2 * 100.0, 2));
        let lines_up: Vec<String> = seen
            .vessels
            .iter()
            .flat_map(|v| &v.lines)
            .filter(|(_, bank)| *bank == Some(*id))
            .map(|(line, _)| {
                format!(
                    "{} {}",
                    scenario.line(*line),
                    scenario.compartment(line.compartment())
                )
            })
            .collect();
        let row = format!(
            "{:<12}{:<18}{:>10}{:>12}{:>10}",
            plate.name,
            plate.duty.words(),
            percent(shown.label_o2),
            shown.analysed_o2.map_or("never".to_owned(), percent),
            shown
                .gauge_bar
                .map_or("-".to_owned(), |bar| gauge.digits(bar)),
        );
        let feeds = match (shown.stopped, lines_up.is_empty()) {
            (true, true) => "STOP SHUT".to_owned(),
            (true, false) => format!("STOP SHUT: {}", lines_up.join(", ")),
            (false, _) => lines_up.join(", "),
        };
        let folded = match feeds.is_empty() {
            true => vec![row],
            false => hung(&row, FEEDS, &feeds, usize::from(area.width)),
        };
        if folded.len() > room.saturating_sub(used) {
            break;
        }
        used += folded.len();
        shown_to += 1;
        lines.extend(folded.into_iter().map(Line::from));
    }
    if first > 0 || shown_to < banks.len() {
        lines.push(Line::from(format!(
            "{} to {} of {}: PgUp, PgDn",
            first + 1,
            shown_to,
            banks.len()
        )));
    }
    frame.render_widget(Paragraph::new(lines), area);
}
