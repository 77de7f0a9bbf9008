//! How they live: every vessel in a line, what holds the one that is chosen, its trend, and what was said.

use super::super::app::App;
use super::super::style::{heading, strong};
use super::{said, trend};
use crate::job::Indicated;
use crate::record::{LineName, Machine, Phase};
use crate::units::{Channel, CompartmentId, DoorId, Quantity, fixed};
use crate::watch::shown::{cell, handle, heads, lamp, opening, vessel};
use crate::words::{Names, Words};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::{Modifier, Style};
use ratatui::text::{Line, Span};
use ratatui::widgets::Paragraph;

/// Draws the page.
pub fn draw(app: &App, seen: &Indicated, frame: &mut Frame, area: Rect) {
    let vessels = seen.vessels.len() as u16;
    let [above, below] =
        Layout::vertical([Constraint::Length(vessels + 2), Constraint::Min(1)]).areas(area);
    let wide = [
        Constraint::Length(65),
        Constraint::Length(1),
        Constraint::Min(1),
    ];
    let [live, _, course] = Layout::horizontal(wide).areas(above);
    let [holds, _, heard] = Layout::horizontal(wide).areas(below);
    frame.render_widget(Paragraph::new(how_they_live(app, seen)), live);
    trend::draw(app, seen, frame, course);
    frame.render_widget(Paragraph::new(what_holds(app, seen)), holds);
    let mut lines = vec![heading("Said and done")];
    let room = usize::from(heard.height).saturating_sub(1);
    lines.extend(said::newest(
        app,
        app.turned,
        room,
        usize::from(heard.width),
    ));
    frame.render_widget(Paragraph::new(lines), heard);
}

fn how_they_live(app: &App, seen: &Indicated) -> Vec<Line<'static>> {
    let scenario = app.watch.session.scenario();
    let units = app.units;
    let plain = |q: Quantity| units.scale(q).plain;
    let mut lines = vec![
        heading("How they live"),
        Line::from(format!(
            "{:<20}{:>6} {:>6} {:>6} {:>6} {:>6} {:>5} {:>4}",
            "",
            plain(Quantity::Depth),
            "want",
            "ppO2",
            "2nd",
            "ppCO2",
            plain(Quantity::Temperature),
            "RH"
        )),
    ];
    for (i, at) in (0..seen.vessels.len()).map(|i| (i, CompartmentId(i as u8))) {
        let chosen = if i == app.vessel { ">" } else { " " };
        let of = |quantity, channel| cell(seen, units, at, quantity, channel);
        let kept = vessel(seen, at);
        let want = match (app.level_of(at), kept.phase) {
            (None, _) | (_, Phase::Surface) => "-".to_owned(),
            _ => units.scale(Quantity::Depth).digits(kept.target_msw),
        };
        let name: String = scenario.compartment(at).chars().take(15).collect();
        let words = format!(
            "{chosen}{name:<15} {:<3}{:>6} {want:>6} {:>6} {:>6} {:>6} {:>5} {:>4}",
            heads(seen, at).chars().take(3).collect::<String>(),
            of(Quantity::Depth, Channel::Primary),
            of(Quantity::PpO2, Channel::Primary),
            of(Quantity::PpO2, Channel::Secondary),
            of(Quantity::PpCo2, Channel::Primary),
            of(Quantity::Temperature, Channel::Primary),
            of(Quantity::Humidity, Channel::Primary),
        );
        let style = match i == app.vessel {
            true => strong(),
            false if heads(seen, at).is_empty() => Style::new().add_modifier(Modifier::DIM),
            false => Style::new(),
        };
        lines.push(Line::from(Span::styled(words, style)));
    }
    lines
}

fn what_holds(app: &App, seen: &Indicated) -> Vec<Line<'static>> {
    let scenario = app.watch.session.scenario();
    let at = app.at();
    let kept = vessel(seen, at);
    let mut lines = vec![heading(format!(
        "What holds {}{}",
        scenario.compartment(at),
        app.phase(at, kept.phase)
    ))];
    let handles: Vec<String> = kept
        .handles
        .iter()
        .map(|(v, by)| match v {
            crate::record::ValveName::Equalise(d) => {
                format!("{} equalising {}", scenario.door(*d), opening(*by))
            }
            v => format!("{} {}", handle(*v), opening(*by)),
        })
        .collect();
    lines.extend(folded("valves  ", &handles, 63));
    let lines_up: Vec<String> = kept
        .lines
        .iter()
        .filter(|(line, bank)| bank.is_some() || !matches!(line, LineName::Bibs(_)))
        .map(|(line, bank)| {
            let of = scenario.line(*line);
            match bank {
                None => format!("{of} none"),
                Some(bank) => {
                    let gauge = seen.banks[bank.index()].gauge_bar;
                    let gauge = gauge.map_or("no gauge".to_owned(), |bar| {
                        app.units.scale(Quantity::GaugePressure).plain_text(bar)
                    });
                    format!("{of} {} {gauge}", scenario.bank(*bank))
                }
            }
        })
        .collect();
    lines.extend(folded("lines   ", &lines_up, 63));
    let mut machines: Vec<String> = Vec::new();
    for (machine, _) in &kept.machines {
        let how = lamp(seen, at, *machine).unwrap_or("-");
        let set = match machine {
            Machine::OxygenControl => kept
                .oxygen_set
                .filter(|_| how == "on")
                .map(|(set, _)| format!(" {}", app.units.scale(Quantity::PpO2).plain_text(set))),
            Machine::Climate => kept
                .climate_set
                .filter(|_| how == "on")
                .map(|(t, _)| format!(" {}", app.units.scale(Quantity::Temperature).plain_text(t))),
            Machine::Fan => kept
                .absorbent_h
                .map(|h| format!(", absorbent {} h", fixed(h, 1))),
            _ => None,
        };
        machines.push(format!(
            "{} {how}{}",
            machine.words(),
            set.unwrap_or_default()
        ));
    }
    lines.extend(folded("runs    ", &machines, 63));
    let doors: Vec<String> = (0u8..)
        .map(DoorId)
        .zip(&scenario.steel.doors)
        .filter(|(_, d)| d.touches(at))
        .map(|(id, d)| {
            let lamp = seen.doors[id.index()];
            let clamp = match (d.clamp, lamp.clamped) {
                (true, true) => ", clamp made",
                (true, false) => ", CLAMP OFF",
                (false, _) => "",
            };
            let open = if lamp.open { "open" } else { "shut" };
            format!("{} {open}{clamp}", d.name)
        })
        .collect();
    lines.extend(folded("doors   ", &doors, 63));
    let inside: Vec<String> = seen
        .divers_in(at)
        .map(|d| {
            let path = seen.divers[d.index()].path;
            match path {
                crate::record::BreathingPath::Ambient => scenario.initials(d),
                path => format!("{} {}", scenario.initials(d), path.words()),
            }
        })
        .collect();
    lines.extend(folded("divers  ", &inside, 63));
    lines
}

/// Words set one after the other under a heading, folded to a width.
pub fn folded(head: &str, words: &[String], width: usize) -> Vec<Line<'static>> {
    if words.is_empty() {
        return Vec::new();
    }
    let mut rows = vec![head.to_owned()];
    for (k, word) in words.iter().enumerate() {
        let row = rows.last().map_or(0, |r| r.chars().count());
        let fresh = row <= head.chars().count();
        if !fresh && row + 3 + word.chars().count() > width {
            rows.push(" ".repeat(head.chars().count()));
        } else if !fresh && k > 0 {
            push(&mut rows, "   ");
        }
        push(&mut rows, word);
    }
    rows.into_iter().map(Line::from).collect()
}

fn push(rows: &mut [String], words: &str) {
    if let Some(row) = rows.last_mut() {
        row.push_str(words);
    }
}
