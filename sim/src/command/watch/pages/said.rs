//! What was said and done, the newest first.

use super::super::app::App;
use crate::report::hung;
use crate::watch::shown::told;
use ratatui::text::Line;

/// Columns of the time before an entry.
const CLOCK: usize = 6;

/// The newest lines, as many as there is room for, folded to the width.
pub fn newest(app: &App, turned: usize, rows: usize, width: usize) -> Vec<Line<'static>> {
    let entries = app.watch.session.feed().entries().iter().rev();
    let lines = entries
        .filter_map(|e| told(&app.watch, app.units, e))
        .skip(turned);
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
