//! Readings: the sheet of the vessel chosen, a row an hour, as its instruments showed; and which rows were signed.

use super::super::app::App;
use super::super::style::heading;
use crate::job::Act;
use crate::record::{Routine, Station};
use crate::units::{Channel, Quantity};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use ratatui::widgets::Paragraph;

const COLUMNS: [(&str, Quantity, Channel); 6] = [
    ("depth", Quantity::Depth, Channel::Primary),
    ("ppO2", Quantity::PpO2, Channel::Primary),
    ("2nd", Quantity::PpO2, Channel::Secondary),
    ("ppCO2", Quantity::PpCo2, Channel::Primary),
    ("temp", Quantity::Temperature, Channel::Primary),
    ("RH", Quantity::Humidity, Channel::Primary),
];

/// Draws the page.
pub fn draw(app: &App, frame: &mut Frame, area: Rect) {
    let scenario = app.session.scenario();
    let steel = &scenario.steel;
    let time = scenario.time();
    let mut lines = vec![heading(format!(
        "Readings of {} at the hours, as indicated; `row {}` signs one",
        app.vessel_name(),
        app.vessel_name()
    ))];
    let heads: String = COLUMNS
        .iter()
        .map(|(head, quantity, _)| {
            format!(
                "{:>13}",
                format!("{head} {}", app.units.scale(*quantity).plain)
            )
        })
        .collect();
    lines.push(Line::from(format!("{:<7}{heads}  signed", "")));
    let now = app.session.now();
    let past = time.second_of_day(now).rem_euclid(3600);
    let room = usize::from(area.height).saturating_sub(3);
    let rows = (0..24)
        .map(|k| now - past - k * 3600)
        .skip(app.turned)
        .take(room);
    for at in rows.filter(|at| *at >= 0) {
        let cells: String = COLUMNS
            .iter()
            .map(|(_, quantity, channel)| {
                let id = steel.instrument(app.at(), *quantity, *channel);
                let trend = app.session.trend();
                let shown = id.and_then(|id| trend.of(id, at).next());
                let shown = shown.filter(|(t, _)| *t < at + 60);
                let text = match (id, shown) {
                    (None, _) => "-".to_owned(),
                    (Some(_), None) => "".to_owned(),
                    (Some(_), Some((_, v))) => app.units.scale(*quantity).digits(f64::from(v)),
                };
                format!("{text:>13}")
            })
            .collect();
        lines.push(Line::from(format!(
            "{:<7}{cells}  {}",
            time.hour_and_minute(at),
            signed(app, at)
        )));
    }
    frame.render_widget(Paragraph::new(lines), area);
}

/// Who signed the row of an hour.
fn signed(app: &App, hour_s: i64) -> &'static str {
    let mine = app.session.acts().any(|(at, by, act)| {
        let row = matches!(act, Act::Sign { compartment, routine: Routine::Readings } if compartment == app.at());
        row && by != Station::Script && (hour_s..hour_s + 3600).contains(&at)
    });
    if mine { "you" } else { "" }
}
