//! One vessel: every instrument with its set points and last calibration, the valves in the order of the line, the
//! limits in force, and its trend.

use super::super::app::App;
use super::super::style::heading;
use super::trend;
use crate::job::Indicated;
use crate::record::ValveName;
use crate::report::wrap;
use crate::watch::shown::{calibrated, fed, handle, opening, vessel};
use crate::words::{Names, Words, limit_unit, limit_words};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::Line;
use ratatui::widgets::Paragraph;

/// Draws the page.
pub fn draw(app: &App, seen: &Indicated, frame: &mut Frame, area: Rect) {
    let [left, _, right] = Layout::horizontal([
        Constraint::Length(58),
        Constraint::Length(1),
        Constraint::Min(1),
    ])
    .areas(area);
    let [upper, lower] =
        Layout::vertical([Constraint::Percentage(50), Constraint::Min(1)]).areas(right);
    frame.render_widget(Paragraph::new(instruments(app, seen)), left);
    trend::draw(app, seen, frame, upper);
    frame.render_widget(Paragraph::new(limits(app, seen, lower)), lower);
}

fn instruments(app: &App, seen: &Indicated) -> Vec<Line<'static>> {
    let scenario = app.watch.session.scenario();
    let at = app.at();
    let kept = vessel(seen, at);
    let mut lines = vec![
        heading(format!(
            "{}: {}",
            scenario.compartment(at),
            kept.phase.words()
        )),
        Line::from(format!(
            "{:<22}{:>14}  {}",
            "instrument", "shows", "calibrated, as found"
        )),
    ];
    for shown in &kept.readings {
        let tag = &scenario.steel.instruments[shown.instrument.index()].name;
        let scale = app.units.scale(shown.quantity);
        let value = match shown.value {
            None => "dark".to_owned(),
            Some(_) if shown.at_ceiling => format!("over {}", scale.plain),
            Some(value) => scale.plain_text(value),
        };
        let remark = match shown.turned_to {
            Some(other) => format!("OF {}", scenario.compartment(other)),
            None => calibrated(&app.watch, app.units, shown.instrument, shown.quantity),
        };
        lines.push(Line::from(format!("{tag:<22}{value:>14}  {remark}")));
    }
    lines.push(Line::from(""));
    lines.push(heading("Valves, from the supply to the outside"));
    for (valve, by) in &kept.handles {
        let words = match valve {
            ValveName::Equalise(d) => format!("equalise {}", scenario.door(*d)),
            valve => handle(*valve).to_owned(),
        };
        lines.push(Line::from(format!("{words:<34}{}", opening(*by))));
    }
    for (line, bank) in &kept.lines {
        let fed = fed(scenario, seen, app.units, *line, *bank);
        lines.push(Line::from(format!("{:<22}{fed}", scenario.line(*line))));
    }
    if let Some(shut) = kept.gagged {
        let words = if shut {
            "SHUT: it lifts no more"
        } else {
            "open"
        };
        lines.push(Line::from(format!(
            "{:<34}{words}",
            "relief valve's gag valve"
        )));
    }
    lines
}

fn limits(app: &App, seen: &Indicated, area: Rect) -> Vec<Line<'static>> {
    let mut lines = vec![heading("Limits in force, as indicated")];
    let mut list: Vec<_> = seen
        .limits
        .iter()
        .filter(|(n, v)| n.compartment == app.at() && v.is_finite())
        .collect();
    list.sort_by_key(|(n, _)| (n.quantity, n.aspect, n.bound, n.severity));
    let caution = wrap(
        "It prescribes nothing: the law and the people decide.",
        usize::from(area.width),
    );
    let room = usize::from(area.height).saturating_sub(2 + caution.len());
    let more = list.len().saturating_sub(room);
    for (name, value) in list.into_iter().take(room) {
        let digits = app.units.scale(name.quantity).digits(*value);
        let by = match name.by {
            crate::record::LimitBy::Row(row) => {
                let row = app.rows.get(usize::from(row.0));
                row.map_or(String::new(), |row| row.id.clone())
            }
            crate::record::LimitBy::Rating => "rating".to_owned(),
            crate::record::LimitBy::Panel(_) | crate::record::LimitBy::SetPoint => {
                "panel".to_owned()
            }
        };
        let severity = name.severity.words();
        let words = format!(
            "{severity:<10} {} {digits} {}",
            limit_words(name),
            limit_unit(name, app.units)
        );
        let room = usize::from(area.width).saturating_sub(words.chars().count() + 3);
        // Where it comes from stands beside it as far as there is room for all of it; `check` lists every row.
        let by = if by.chars().count() <= room {
            format!("  {by}")
        } else {
            String::new()
        };
        lines.push(Line::from(format!("{words}{by}")));
    }
    if more > 0 {
        lines.push(Line::from(format!("and {more} more")));
    }
    lines.extend(caution.into_iter().map(Line::from));
    lines
}
