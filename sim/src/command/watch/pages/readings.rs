//! The log sheet of the vessel chosen, a row an hour: what its instruments showed, what was done by hand in the hour, and
//! which rows were signed. Its columns are data.

use super::super::app::App;
use super::super::style::heading;
use crate::job::Act;
use crate::record::{Routine, Station, ValveName, What};
use crate::units::CompartmentId;
use crate::watch::{Column, ColumnOf};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use ratatui::widgets::Paragraph;

const HOUR_S: i64 = 3600;
/// Columns of the hour before a row, and of who signed it after it.
const HOUR: usize = 7;
const SIGNED: usize = 8;
/// The least and the most that a column takes.
const NARROW: usize = 8;
const WIDE: usize = 13;

/// Draws the page.
pub fn draw(app: &App, frame: &mut Frame, area: Rect) {
    let time = app.watch.session.scenario().time();
    let room = usize::from(area.width).saturating_sub(HOUR + SIGNED);
    let all = &app.watch.kit.sheets.log;
    let wide = (room / all.len().max(1)).clamp(NARROW, WIDE);
    let fits = (room / wide).min(all.len());
    let columns = &all[..fits];
    let mut lines = vec![heading(format!(
        "Log sheet of {} at the hours, as indicated; `row {}` signs one",
        app.vessel_name(),
        app.vessel_name()
    ))];
    let heads: String = columns
        .iter()
        .map(|c| format!("{:>wide$}", c.head))
        .collect();
    let units: String = columns
        .iter()
        .map(|c| format!("{:>wide$}", unit(app, c)))
        .collect();
    lines.push(Line::from(format!("{:<HOUR$}{heads}  signed", "")));
    lines.push(Line::from(format!("{:<HOUR$}{units}", "")));
    if fits < all.len() {
        let left: Vec<&str> = all[fits..].iter().map(|c| c.head.as_str()).collect();
        let words = format!("a wider terminal shows {} too", left.join(", "));
        lines.push(Line::from(words));
    }
    let now = app.watch.session.now();
    let past = time.second_of_day(now).rem_euclid(HOUR_S);
    let rows = (0..24)
        .map(|k| now - past - k * HOUR_S)
        .skip(app.turned)
        .take(usize::from(area.height).saturating_sub(lines.len() + 1));
    for at in rows.filter(|at| *at >= 0) {
        let cells: String = columns
            .iter()
            .map(|column| format!("{:>wide$}", shown(app, column.of, at)))
            .collect();
        lines.push(Line::from(format!(
            "{:<HOUR$}{cells}  {}",
            time.hour_and_minute(at),
            signed(app, at)
        )));
    }
    lines.push(Line::from(
        "Doses, make-ups, bleeds and lock runs are those of the hour that begins there.",
    ));
    frame.render_widget(Paragraph::new(lines), area);
}

fn unit(app: &App, column: &Column) -> String {
    match column.of {
        ColumnOf::Reading(quantity, _) => app.units.scale(quantity).plain.to_owned(),
        ColumnOf::Doses | ColumnOf::MadeUp | ColumnOf::Bled | ColumnOf::LockRuns => {
            "times".to_owned()
        }
    }
}

/// What a cell holds of an hour.
fn shown(app: &App, of: ColumnOf, hour_s: i64) -> String {
    let at = app.at();
    match of {
        ColumnOf::Reading(quantity, channel) => {
            let steel = &app.watch.session.scenario().steel;
            let Some(id) = steel.instrument(at, quantity, channel) else {
                return "-".to_owned();
            };
            let first = app.watch.session.trend().of(id, hour_s).next();
            let at_the_hour = first.filter(|(t, _)| *t < hour_s + 60);
            at_the_hour.map_or(String::new(), |(_, v)| {
                app.units.scale(quantity).digits(f64::from(v))
            })
        }
        ColumnOf::Doses => times(app, hour_s, |what| {
            opens(what, |v| v == ValveName::Oxygen(at))
        }),
        ColumnOf::MadeUp => times(app, hour_s, |what| {
            opens(what, |v| v == ValveName::BlowDown(at))
        }),
        ColumnOf::Bled => times(app, hour_s, |what| {
            opens(what, |v| {
                [ValveName::Bleed(at), ValveName::Exhaust(at)].contains(&v)
            })
        }),
        ColumnOf::LockRuns => times(app, hour_s, |what| runs(app, what, at)),
    }
}

/// How often something was told in an hour; nothing where it was not.
fn times(app: &App, hour_s: i64, is: impl Fn(&What) -> bool) -> String {
    let entries = app.watch.session.feed().entries();
    let from = entries.partition_point(|e| e.at < hour_s);
    let hour = entries[from..]
        .iter()
        .take_while(|e| e.at < hour_s + HOUR_S);
    match hour.filter(|e| is(&e.what)).count() {
        0 => String::new(),
        n => n.to_string(),
    }
}

fn opens(what: &What, is: impl Fn(ValveName) -> bool) -> bool {
    matches!(what, What::Valve { valve, opening } if *opening > 0.0 && is(*valve))
}

/// Whether a run begins through a lock that opens into a vessel.
fn runs(app: &App, what: &What, at: CompartmentId) -> bool {
    let What::Routine {
        compartment: lock,
        routine: Routine::Meal | Routine::Laundry | Routine::Stores,
        ..
    } = *what
    else {
        return false;
    };
    let mut doors = app.watch.session.scenario().steel.doors.iter();
    doors.any(|d| d.joins(at, lock))
}

/// Who signed the row of an hour.
fn signed(app: &App, hour_s: i64) -> &'static str {
    let mine = app.watch.session.acts().any(|(at, by, act)| {
        let row = matches!(act, Act::Sign { compartment, routine: Routine::Readings } if compartment == app.at());
        row && by != Station::Script && (hour_s..hour_s + HOUR_S).contains(&at)
    });
    if mine { "you" } else { "" }
}
