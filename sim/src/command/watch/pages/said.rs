//! What was said and done, the newest first.

use super::super::app::App;
use crate::record::{Entry, What};
use crate::words::{Names, beside, remark};
use ratatui::text::Line;

/// An entry as a line of the watch's log; none of what is told elsewhere.
pub fn line(app: &App, entry: &Entry) -> Option<String> {
    let scenario = app.session.scenario();
    let words = match entry.what {
        What::Noted { note, .. } => format!("you: {}", app.session.note(note)?),
        _ => remark(&**scenario, app.units, entry)?,
    };
    let at = beside(&**scenario, &entry.what);
    let at = at.map(|c| scenario.compartment(c));
    let at = at.filter(|name| !words.starts_with(name.as_str()));
    let at = at.map_or(String::new(), |name| format!("{name}: "));
    let clock = scenario.time().hour_and_minute(entry.at);
    Some(format!("{clock} {at}{words}"))
}

/// The newest lines, as many as there is room for, folded to the width.
pub fn newest(app: &App, turned: usize, rows: usize, width: usize) -> Vec<Line<'static>> {
    let entries = app.session.feed().entries().iter().rev();
    let lines = entries.filter_map(|e| line(app, e)).skip(turned);
    let mut shown: Vec<Line<'static>> = Vec::new();
    for line in lines {
        let folded = fold(&line, width);
        if shown.len() + folded.len() > rows {
            break;
        }
        shown.extend(folded.into_iter().map(Line::from));
    }
    shown
}

/// A line cut at blanks to a width; what goes on is set in.
fn fold(line: &str, width: usize) -> Vec<String> {
    let mut rows = vec![String::new()];
    for word in line.split(' ') {
        let last = rows.last().map_or(0, |r| r.chars().count());
        if last > 0 && last + 1 + word.chars().count() > width {
            rows.push(format!("      {word}"));
        } else if let Some(row) = rows.last_mut() {
            if !row.is_empty() {
                row.push(' ');
            }
            row.push_str(word);
        }
    }
    rows
}
