//! Bell and divers: where the bell is by its wire and its gauges, who is where, and what each breathes.

use super::super::app::App;
use super::super::style::heading;
use crate::job::Indicated;
use crate::record::{Machine, What, Whereabouts};
use crate::units::{Channel, CompartmentId, DiverId, Quantity};
use crate::watch::shown::{cell, lamp, vessel};
use crate::words::{Names, Words, numbered};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::Line;
use ratatui::widgets::Paragraph;

/// Draws the page.
pub fn draw(app: &App, seen: &Indicated, frame: &mut Frame, area: Rect) {
    let [left, _, right] = Layout::horizontal([
        Constraint::Length(44),
        Constraint::Length(1),
        Constraint::Min(1),
    ])
    .areas(area);
    frame.render_widget(Paragraph::new(bells(app, seen)), left);
    frame.render_widget(Paragraph::new(divers(app, seen)), right);
}

fn bells(app: &App, seen: &Indicated) -> Vec<Line<'static>> {
    let scenario = app.watch.session.scenario();
    let depth = app.units.scale(Quantity::Depth);
    let mut lines = Vec::new();
    for (i, plate) in (0u8..).zip(&scenario.steel.compartments) {
        let at = CompartmentId(i);
        let (Some(_), Some((sent, wire))) = (plate.bell, vessel(seen, at).winch_msw) else {
            continue;
        };
        let of = |quantity| cell(seen, app.units, at, quantity, Channel::Primary);
        lines.push(heading(plate.name.clone()));
        let mut row = |words: &str, value: String| {
            lines.push(Line::from(format!("{words:<28}{value}")));
        };
        row("sent to", depth.plain_text(sent));
        row("wire out", depth.plain_text(wire));
        row(
            "inside, by its gauge",
            format!("{} {}", of(Quantity::Depth), depth.plain),
        );
        row(
            "the sea there, by its gauge",
            format!("{} {}", of(Quantity::SeaDepth), depth.plain),
        );
        let ppo2 = app.units.scale(Quantity::PpO2).plain;
        let ppco2 = app.units.scale(Quantity::PpCo2).plain;
        row("ppO2", format!("{} {ppo2}", of(Quantity::PpO2)));
        row("ppCO2", format!("{} {ppco2}", of(Quantity::PpCo2)));
        for machine in [Machine::HotWater, Machine::Reclaim, Machine::Fan] {
            if let Some(how) = lamp(seen, at, machine) {
                row(machine.words(), how.to_owned());
            }
        }
        let run = app
            .watch
            .session
            .feed()
            .entries()
            .iter()
            .rev()
            .find_map(|e| match e.what {
                What::BellPhase { bell, run, phase } if bell == at => Some((e.at, run, phase)),
                _ => None,
            });
        if let Some((since, run, phase)) = run {
            let clock = scenario.time().hour_and_minute(since);
            row(
                "bell run",
                format!("{}: {}, since {clock}", numbered(run), phase.words()),
            );
        }
        lines.push(Line::from(""));
    }
    if lines.is_empty() {
        lines.push(Line::from("This spread has no bell."));
    }
    lines
}

fn divers(app: &App, seen: &Indicated) -> Vec<Line<'static>> {
    let scenario = app.watch.session.scenario();
    let mut lines = vec![heading("Divers, as they said")];
    for (id, heard) in (0u8..).map(DiverId).zip(&seen.divers) {
        let at = match heard.at {
            Whereabouts::Deck => "on deck".to_owned(),
            Whereabouts::In(c) => scenario.compartment(c),
            Whereabouts::Water(bell) => format!("in the water, {}", scenario.compartment(bell)),
        };
        let bail_out = heard.bail_out_bar.map_or(String::new(), |bar| {
            let gauge = app.units.scale(Quantity::GaugePressure);
            format!("  bail-out {}", gauge.plain_text(bar))
        });
        let path = match heard.at {
            Whereabouts::Deck => String::new(),
            _ => format!("  {}", heard.path.words()),
        };
        lines.push(Line::from(format!(
            "{:<4}{at}{path}{bail_out}",
            scenario.initials(id)
        )));
    }
    lines
}
