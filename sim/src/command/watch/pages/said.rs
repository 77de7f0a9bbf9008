//! What was said and done, the newest first.

use super::super::app::App;
use crate::record::{Entry, What};
use crate::report::hung;
use crate::words::{Names, beside, remark};
use ratatui::text::Line;

/// When an entry was told, and its words in the watch's log; none of what is told elsewhere.
pub fn line(app: &App, entry: &Entry) -> Option<(String, String)> {
    let scenario = app.session.scenario();
    let words = match entry.what {
        What::Noted { note, .. } => format!("you: {}", app.session.note(note)?),
        What::OnSheet { sheet, item, .. } => on_sheet(app, sheet, item),
        _ => remark(&**scenario, app.units, entry)?,
    };
    let at = beside(&**scenario, &entry.what);
    let at = at.map(|c| scenario.compartment(c));
    let at = at.filter(|name| !words.starts_with(name.as_str()));
    let at = at.map_or(String::new(), |name| format!("{name}: "));
    let clock = scenario.time().hour_and_minute(entry.at);
    Some((clock, format!("{at}{words}")))
}

fn on_sheet(app: &App, sheet: u16, item: Option<u16>) -> String {
    let sheet = usize::from(sheet);
    let name = app.kit.sheets.names().nth(sheet).unwrap_or("a sheet");
    match item.map(usize::from) {
        None => format!("you: {name} signed"),
        Some(k) => match app.kit.sheets.items(sheet).get(k) {
            Some(item) => format!("you: {name} {}: {}", k + 1, item.what),
            None => format!("you: {name} {}", k + 1),
        },
    }
}

/// Columns of the time before an entry.
const CLOCK: usize = 6;

/// The newest lines, as many as there is room for, folded to the width.
pub fn newest(app: &App, turned: usize, rows: usize, width: usize) -> Vec<Line<'static>> {
    let entries = app.session.feed().entries().iter().rev();
    let lines = entries.filter_map(|e| line(app, e)).skip(turned);
    let mut shown: Vec<Line<'static>> = Vec::new();
    for (clock, words) in lines {
        let folded = hung(&clock, CLOCK, &words, width);
        if shown.len() + folded.len() > rows {
            break;
        }
        shown.extend(folded.into_iter().map(Line::from));
    }
    shown
}
