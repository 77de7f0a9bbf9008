//! The pages, each by the question it answers.

pub mod alarms;
pub mod all;
pub mod bell;
pub mod gas;
pub mod handover;
pub mod help;
pub mod one;
pub mod readings;
mod said;
pub mod sheets;
mod trend;

use super::app::App;
use super::style::strong;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};
use ratatui::widgets::Paragraph;

/// Draws as many lines as there is room for, from where the page is turned to; where some are left over the last line
/// says how many.
fn paged(app: &App, lines: Vec<Line<'static>>, frame: &mut Frame, area: Rect) {
    let room = usize::from(area.height);
    let first = app.turned.min(lines.len().saturating_sub(room));
    let left = lines.len().saturating_sub(first + room);
    let mut shown: Vec<Line<'static>> = lines.into_iter().skip(first).take(room).collect();
    if left > 0 {
        let words = format!("and {} more lines: PgUp", left + 1);
        shown.truncate(room.saturating_sub(1));
        shown.push(Line::from(Span::styled(words, strong())));
    }
    frame.render_widget(Paragraph::new(shown), area);
}
