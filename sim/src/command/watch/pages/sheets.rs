//! Check sheets: what there is, and the one chosen item by item, with what is indicated beside each.

use super::super::app::App;
use super::super::style::{heading, strong};
use crate::job::Indicated;
use crate::report::{hung, wrap};
use crate::units::{BankId, Channel, CompartmentId, Duty, Quantity, fixed};
use crate::watch::shown::{cell, vessel};
use crate::watch::{Beside, Item};
use crate::words::{Names, Words};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

/// Columns before an item's words: its sign and number.
const HANGS: usize = 11;

/// Draws the page.
pub fn draw(app: &App, seen: &Indicated, frame: &mut Frame, area: Rect) {
    let width = usize::from(area.width).saturating_sub(2);
    let sheets = &app.watch.kit.sheets;
    let mut lines = vec![heading("Check sheets: up and down choose one")];
    for (k, sheet) in sheets.checks.iter().enumerate() {
        let mark = if k == app.sheet { ">" } else { " " };
        let words = format!(
            "{mark} {:<18}{:<40}{:<20}{}",
            sheet.name,
            sheet.title,
            sheet.station.words(),
            standing(app, k, sheet.items.len())
        );
        lines.push(match k == app.sheet {
            true => Line::from(Span::styled(words, strong())),
            false => Line::from(words),
        });
    }
    if let Some(sheet) = sheets.checks.get(app.sheet) {
        lines.push(Line::from(""));
        lines.push(heading(format!(
            "{}: `tick {} ITEM`, then `sign {}`",
            sheet.title, sheet.name, sheet.name
        )));
        let caution = format!(
            "It clears nothing for diving: the company's own sheet and people do. This one: {}, {}.",
            sheet.status, sheet.source
        );
        lines.extend(wrap(&caution, width).into_iter().map(Line::from));
        lines.extend(items(app, seen, app.sheet, &sheet.items, width));
    }
    super::paged(app, lines, frame, area);
}

/// How far a sheet has come.
pub fn standing(app: &App, sheet: usize, items: usize) -> String {
    let of = u16::try_from(sheet).unwrap_or(u16::MAX);
    let time = app.watch.session.scenario().time();
    let ticked = app.watch.session.ticked(of).len();
    let signed = app.watch.session.signed(of);
    match (ticked, signed) {
        (0, None) => String::new(),
        (0, Some((at, _))) => format!("signed {}", time.clock(at)),
        (done, _) => format!("{done} of {items}"),
    }
}

/// The items of a sheet: gone through or not, and what is indicated beside them.
pub fn items(
    app: &App,
    seen: &Indicated,
    sheet: usize,
    items: &[Item],
    width: usize,
) -> Vec<Line<'static>> {
    let of = u16::try_from(sheet).unwrap_or(u16::MAX);
    let ticked = app.watch.session.ticked(of);
    let time = app.watch.session.scenario().time();
    let mut lines = Vec::new();
    for (k, item) in items.iter().enumerate() {
        let at = u16::try_from(k).ok().and_then(|k| ticked.get(&k));
        let mark = at.map_or("  -  ".to_owned(), |at| time.hour_and_minute(*at));
        let readings: Vec<String> = item.shows.iter().map(|b| beside(app, seen, *b)).collect();
        let readings: Vec<String> = readings.into_iter().filter(|r| !r.is_empty()).collect();
        let words = match readings.is_empty() {
            true => item.what.clone(),
            false => format!("{} [{}]", item.what, readings.join("; ")),
        };
        let head = format!("{mark} {:>3}", k + 1);
        lines.extend(
            hung(&head, HANGS, &words, width)
                .into_iter()
                .map(Line::from),
        );
    }
    lines
}

/// A reading beside an item, of the vessel chosen.
fn beside(app: &App, seen: &Indicated, what: Beside) -> String {
    let scenario = app.watch.session.scenario();
    let at = app.at();
    let name = scenario.compartment(at);
    let reading = |quantity: Quantity, channel| cell(seen, app.units, at, quantity, channel);
    let both = |quantity: Quantity| {
        let (first, second) = (
            reading(quantity, Channel::Primary),
            reading(quantity, Channel::Secondary),
        );
        let unit = app.units.scale(quantity).plain;
        match second.as_str() {
            "-" => format!("{name} {first} {unit}"),
            second => format!("{name} {first}, 2nd {second} {unit}"),
        }
    };
    match what {
        Beside::Depths => both(Quantity::Depth),
        Beside::Oxygen => both(Quantity::PpO2),
        Beside::CarbonDioxide => both(Quantity::PpCo2),
        Beside::Climate => format!(
            "{name} {} {}, {} %",
            reading(Quantity::Temperature, Channel::Primary),
            app.units.scale(Quantity::Temperature).plain,
            reading(Quantity::Humidity, Channel::Primary)
        ),
        Beside::Absorbent => {
            let hours = vessel(seen, at).absorbent_h;
            hours.map_or(String::new(), |h| {
                format!("{name} absorbent {} h", fixed(h, 1))
            })
        }
        Beside::Valves => open_valves(app, seen, at),
        Beside::Lines => {
            let lines = vessel(seen, at).lines.iter();
            let fed: Vec<String> = lines
                .map(|(line, bank)| {
                    let bank = bank.map_or("off".to_owned(), |b| scenario.bank(b));
                    format!("{} {bank}", scenario.line(*line))
                })
                .collect();
            fed.join(", ")
        }
        Beside::Bank(duty) => banks(app, seen, duty),
        Beside::Winch => {
            let depth = app.units.scale(Quantity::Depth);
            let wire = vessel(seen, at).winch_msw;
            wire.map_or(String::new(), |(_, wire)| {
                format!("wire {}", depth.plain_text(wire))
            })
        }
    }
}

fn open_valves(app: &App, seen: &Indicated, at: CompartmentId) -> String {
    let scenario = app.watch.session.scenario();
    let open = vessel(seen, at).handles.iter().filter(|(_, by)| *by > 0.0);
    let open: Vec<String> = open.map(|(v, _)| scenario.valve(*v)).collect();
    match open.is_empty() {
        true => "no valve open".to_owned(),
        false => format!("open: {}", open.join(", ")),
    }
}

fn banks(app: &App, seen: &Indicated, duty: Duty) -> String {
    let scenario = app.watch.session.scenario();
    let gauge = app.units.scale(Quantity::GaugePressure);
    let of_duty = (0u8..)
        .map(BankId)
        .zip(&scenario.steel.banks)
        .filter(|(_, plate)| plate.duty == duty);
    let all: Vec<String> = of_duty
        .map(|(id, plate)| {
            let shown = &seen.banks[id.index()];
            let bar = shown.gauge_bar.map_or("-".to_owned(), |b| gauge.digits(b));
            let o2 = shown.analysed_o2.map_or("not analysed".to_owned(), |o2| {
                format!("{} %", fixed(o2 * 100.0, 2))
            });
            format!("{} {bar} {} {o2}", plate.name, gauge.plain)
        })
        .collect();
    all.join(", ")
}
