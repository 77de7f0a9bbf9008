//! Handover: what the next watch has to know before it takes over, in one page.

use super::super::app::App;
use super::super::style::{alarm_words, heading};
use super::all::folded;
use super::sheets::{items, standing};
use crate::job::{Act, Indicated};
use crate::record::{Phase, What};
use crate::report::wrap;
use crate::units::{BAR_PA, BankId, Channel, CompartmentId, Quantity};
use crate::watch::shown::{cell, heads, told, vessel};
use crate::watch::{HANDOVER, HandoverPart, in_words};
use crate::words::{Names, Words};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// How far back the page looks, s: a watch.
const WATCH_S: i64 = 12 * 3600;

/// Draws the page.
pub fn draw(app: &App, seen: &Indicated, frame: &mut Frame, area: Rect) {
    let width = usize::from(area.width).saturating_sub(2);
    let lines = lines(app, seen, width);
    super::paged(app, lines, frame, area);
}

/// What stands otherwise than it is fitted, and shows nowhere else on the sheet.
fn set_by_hand(app: &App, seen: &Indicated) -> Vec<String> {
    let scenario = app.watch.session.scenario();
    let scale = app.units.scale(Quantity::GaugePressure);
    let banks = (0u8..).map(BankId).zip(&seen.banks);
    let mut all: Vec<String> = banks
        .filter(|(_, plate)| plate.stopped)
        .map(|(id, _)| format!("stop of {} shut", scenario.bank(id)))
        .collect();
    for kept in &seen.vessels {
        for plate in &kept.regulators {
            let fitted_bar = scenario.steel.regulator_fitted_pa(plate.line) / BAR_PA;
            if (plate.over_bar - fitted_bar).abs() > 1e-9 {
                let over = scale.plain_text(plate.over_bar);
                let (line, at) = (plate.line, plate.line.compartment());
                all.push(format!(
                    "regulator {} {} {over} over",
                    scenario.line(line),
                    scenario.compartment(at)
                ));
            }
        }
        for shown in &kept.readings {
            if let Some(other) = shown.turned_to {
                let tag = &scenario.steel.instruments[shown.instrument.index()].name;
                all.push(format!("{tag} turned to {}", scenario.compartment(other)));
            }
        }
    }
    all
}

fn lines(app: &App, seen: &Indicated, width: usize) -> Vec<Line<'static>> {
    let sheet = &app.watch.kit.sheets.handover;
    let mut lines = vec![heading(format!(
        "Handover sheet, {}: read it with the one who takes over, sign it, then `hand-over`",
        app.watch.session.scenario().time().clock(seen.at_s)
    ))];
    for part in &sheet.sections {
        match part {
            HandoverPart::Vessels => lines.extend(vessels(app, seen, width)),
            HandoverPart::Gas => lines.extend(gas(app, seen, width)),
            HandoverPart::SetByHand => {
                lines.extend(folded("set by hand   ", &set_by_hand(app, seen), width));
            }
            HandoverPart::Alarms => {
                let alarms: Vec<String> = seen.alarms.iter().map(|a| alarm_words(app, a)).collect();
                lines.extend(folded("alarms        ", &alarms, width));
            }
            HandoverPart::SetAside => {
                let names = seen.shelved.iter().map(|(n, _)| n);
                let aside: Vec<String> = names
                    .map(|n| app.watch.session.scenario().limit(n))
                    .collect();
                lines.extend(folded("set aside     ", &aside, width));
            }
            HandoverPart::UnderWay => {
                lines.extend(folded("under way     ", &under_way(app), width));
            }
            HandoverPart::Found => {
                lines.extend(folded("found         ", &found(app, seen), width));
            }
            HandoverPart::Written => {
                lines.extend(folded("written       ", &written(app, seen), width));
            }
            HandoverPart::OpenSheets => {
                lines.extend(folded("open sheets   ", &open_sheets(app), width));
            }
        }
    }
    let number = app.watch.kit.sheets.checks.len();
    let standing = match standing(app, number, sheet.items.len()) {
        words if words.is_empty() => "not begun".to_owned(),
        words => words,
    };
    lines.push(Line::from(""));
    lines.push(heading(format!(
        "Gone through together ({standing}): `tick {HANDOVER} ITEM`, then `sign {HANDOVER}`"
    )));
    lines.extend(items(app, seen, number, &sheet.items, width));
    lines.extend(wrap(crate::CAUTION, width).into_iter().map(Line::from));
    lines
}

fn vessels(app: &App, seen: &Indicated, width: usize) -> Vec<Line<'static>> {
    let scenario = app.watch.session.scenario();
    let depth = app.units.scale(Quantity::Depth);
    let mut lines = Vec::new();
    for (i, kept) in seen.vessels.iter().enumerate() {
        let at = CompartmentId(i as u8);
        let people = heads(seen, at);
        let held = app.level_of(at).is_some() && kept.phase != Phase::Surface;
        if !held && people.is_empty() {
            continue;
        }
        let people = if people.is_empty() {
            "nobody".to_owned()
        } else {
            people
        };
        let (phase, wanted) = match held {
            true => (
                kept.phase.words(),
                format!(" of {}", depth.digits(kept.target_msw)),
            ),
            false => ("", String::new()),
        };
        lines.push(Line::from(format!(
            "{:<16}{phase:<14}{} {}{wanted}   ppO2 {}   ppCO2 {}   {people} in it",
            scenario.compartment(at),
            cell(seen, app.units, at, Quantity::Depth, Channel::Primary),
            depth.plain,
            cell(seen, app.units, at, Quantity::PpO2, Channel::Primary),
            cell(seen, app.units, at, Quantity::PpCo2, Channel::Primary),
        )));
        let open: Vec<String> = vessel(seen, at)
            .handles
            .iter()
            .filter(|(_, by)| *by > 0.0)
            .map(|(v, _)| scenario.valve(*v))
            .collect();
        lines.extend(folded("              open: ", &open, width));
    }
    lines
}

fn gas(app: &App, seen: &Indicated, width: usize) -> Vec<Line<'static>> {
    let gauge = app.units.scale(Quantity::GaugePressure);
    let banks: Vec<String> = (0u8..)
        .map(BankId)
        .zip(&seen.banks)
        .filter_map(|(id, b)| {
            let name = app.watch.session.scenario().bank(id);
            Some(format!("{name} {}", gauge.digits(b.gauge_bar?)))
        })
        .collect();
    folded(&format!("gas, {}      ", gauge.plain), &banks, width)
}

fn under_way(app: &App) -> Vec<String> {
    let scenario = app.watch.session.scenario();
    let acts = app.watch.session.under_way();
    acts.map(|(due, _, act)| {
        let clock = scenario.time().hour_and_minute(due);
        format!("{} at {clock}", in_words(&act, scenario, None))
    })
    .collect()
}

fn found(app: &App, seen: &Indicated) -> Vec<String> {
    let since = seen.at_s - WATCH_S;
    let entries = app.watch.session.feed().entries().iter();
    entries
        .filter(|e| e.at >= since && matches!(e.what, What::Found { .. } | What::Told { .. }))
        .filter_map(|e| told(&app.watch, app.units, e))
        .map(|(clock, words)| format!("{clock} {words}"))
        .collect()
}

fn written(app: &App, seen: &Indicated) -> Vec<String> {
    let since = seen.at_s - WATCH_S;
    let acts = app.watch.session.acts();
    acts.filter_map(|(at, _, act)| match act {
        Act::Note(n) if at >= since => {
            let clock = app.watch.session.scenario().time().hour_and_minute(at);
            Some(format!("{clock} {}", app.watch.session.note(n)?))
        }
        _ => None,
    })
    .collect()
}

/// Check sheets that were begun and not signed.
fn open_sheets(app: &App) -> Vec<String> {
    let checks = app.watch.kit.sheets.checks.iter().enumerate();
    checks
        .filter(|(k, _)| u16::try_from(*k).is_ok_and(|k| !app.watch.session.ticked(k).is_empty()))
        .map(|(k, sheet)| format!("{} {}", sheet.name, standing(app, k, sheet.items.len())))
        .collect()
}
