//! What stands on every page: the clock and who sits where, what needs somebody, the keys, the order line, and what came
//! of the last act; between them the page.

use super::app::{App, Page, Typing};
use super::pages;
use super::style::{alarm_words, heading, sign, strong, tint};
use crate::job::Indicated;
use crate::report::wrap;
use crate::units::fixed;
use crate::watch::TABLE;
use crate::watch::shown::{self, who};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::{Modifier, Style};
use ratatui::text::{Line, Span};
use ratatui::widgets::Paragraph;

/// The least a page needs.
pub const LEAST: (u16, u16) = (100, 30);
/// Alarms shown on every page.
const ALARMS: u16 = 3;

/// Draws the watch.
pub fn draw(app: &App, frame: &mut Frame) {
    let area = frame.area();
    if area.width < LEAST.0 || area.height < LEAST.1 {
        let words = format!(
            "The watch needs {} columns and {} lines; this terminal has {} and {}. Time and journal go on.",
            LEAST.0, LEAST.1, area.width, area.height
        );
        let told = Paragraph::new(words).wrap(ratatui::widgets::Wrap { trim: true });
        frame.render_widget(told, area);
        return;
    }
    let seen = app.seen();
    let told = what_came(app, area.width);
    let [head, needs, page, keys, order, said] = Layout::vertical([
        Constraint::Length(1),
        Constraint::Length(1 + ALARMS),
        Constraint::Min(1),
        Constraint::Length(1),
        Constraint::Length(1),
        Constraint::Length(u16::try_from(told.len()).unwrap_or(1).max(1)),
    ])
    .areas(area);
    frame.render_widget(Paragraph::new(top(app, &seen)), head);
    frame.render_widget(Paragraph::new(what_needs(app, &seen)), needs);
    match app.page {
        Page::All => pages::all::draw(app, &seen, frame, page),
        Page::One => pages::one::draw(app, &seen, frame, page),
        Page::Gas => pages::gas::draw(app, &seen, frame, page),
        Page::Bell => pages::bell::draw(app, &seen, frame, page),
        Page::Alarms => pages::alarms::draw(app, &seen, frame, page),
        Page::Readings => pages::readings::draw(app, frame, page),
        Page::Handover => pages::handover::draw(app, &seen, frame, page),
        Page::Sheets => pages::sheets::draw(app, &seen, frame, page),
        Page::Help => pages::help::draw(app, frame, page),
    }
    frame.render_widget(Paragraph::new(key_line(app, keys.width)), keys);
    order_line(app, &seen, frame, order);
    frame.render_widget(Paragraph::new(told), said);
}

/// What came of the last act, in as many lines as it takes: a refusal is not cut off.
fn what_came(app: &App, width: u16) -> Vec<Line<'static>> {
    let Some((words, bad)) = app.watch.last_line() else {
        return Vec::new();
    };
    let style = if bad { strong() } else { Style::new() };
    let lines = wrap(words, usize::from(width).saturating_sub(2));
    let line = |line: String| Line::from(Span::styled(format!(" {line}"), style));
    lines.into_iter().map(line).collect()
}

fn top(app: &App, seen: &Indicated) -> Line<'static> {
    let scenario = app.watch.session.scenario();
    let pace = &app.watch.clock;
    let speed = match pace.runs() {
        true => format!("x{}", pace.speed()),
        false => format!("standing (x{})", pace.speed()),
    };
    // What changes how everything else is to be read stands first, where no width cuts it off.
    let first = match (seen.over, app.holds_display()) {
        (true, _) => "THE JOB IS OVER",
        (false, true) => "DISPLAY HELD",
        (false, false) => &scenario.name,
    };
    Line::from(Span::styled(
        format!(
            " {first}  {}  {speed}  saturation: {}  dive: {}  waves {} m",
            app.watch.clock_at(seen.at_s),
            who(seen.sitters[0]),
            who(seen.sitters[1]),
            fixed(seen.hs_m, 1),
        ),
        strong(),
    ))
}

fn what_needs(app: &App, seen: &Indicated) -> Vec<Line<'static>> {
    let shown = shown::what_needs(seen);
    let waits = shown.iter().filter(|(_, a)| a.state.waits()).count();
    let aside = seen.alarms.len() - shown.len() + seen.shelved.len();
    let sounds = if seen.sounding.iter().any(|s| *s) {
        "   SOUNDER ON"
    } else {
        ""
    };
    let title = format!(
        " What needs you    {} ring, {waits} not acknowledged, {aside} set aside{sounds}",
        shown.len()
    );
    let mut lines = vec![heading(title)];
    let scenario = app.watch.session.scenario();
    if let Some(request) = seen.requests.first() {
        let more = match seen.requests.len() - 1 {
            0 => String::new(),
            more => format!("; {more} more after it"),
        };
        let words = format!("   {}{more}", shown::asked(scenario, request));
        lines.push(Line::from(Span::styled(words, strong())));
    }
    let list = shown;
    let room = usize::from(ALARMS) + 1 - lines.len();
    let cut = list.len() > room;
    for (number, alarm) in list.iter().take(if cut { room - 1 } else { room }) {
        lines.push(Line::from(vec![
            Span::raw(" "),
            sign(alarm),
            Span::styled(
                format!(" {number:>2}  {}", alarm_words(app, alarm)),
                tint(alarm.name.severity).remove_modifier(Modifier::REVERSED),
            ),
        ]));
    }
    if cut {
        let more = list.len() - (room - 1);
        let style = strong();
        lines.push(Line::from(Span::styled(
            format!("   and {more} more: page 5"),
            style,
        )));
    }
    lines
}

/// The keys of acts that are possible now, as many as there is room for, whole.
fn key_line(app: &App, width: u16) -> Line<'static> {
    let mine = app.watch.mine();
    let mut words = vec![
        format!(" [1-8] {}", app.page.title()),
        "[space] time".into(),
    ];
    let acts = TABLE.iter().filter_map(|row| {
        let may = mine.iter().any(|s| row.at.is_at(*s));
        let key = app.watch.kit.keys.of_verb(row.verb);
        key.filter(|_| may)
            .map(|key| format!("[{key}] {}", row.name))
    });
    words.extend(acts);
    let end = "[?] all keys";
    let mut line = String::new();
    for word in words {
        if line.len() + word.len() + end.len() + 4 > usize::from(width) {
            break;
        }
        if !line.is_empty() {
            line.push_str("  ");
        }
        line.push_str(&word);
    }
    line.push_str("  ");
    line.push_str(end);
    Line::from(Span::styled(line, Style::new().add_modifier(Modifier::DIM)))
}

fn order_line(app: &App, seen: &Indicated, frame: &mut Frame, area: Rect) {
    let prompt = match app.typing {
        Typing::Nothing => " : order",
        Typing::Order => " > ",
        Typing::Jump => " back to (D02 14:00, or 20 min) > ",
    };
    if app.typing == Typing::Nothing {
        let style = Style::new().add_modifier(Modifier::DIM);
        frame.render_widget(Paragraph::new(Span::styled(prompt, style)), area);
        return;
    }
    let text = app.editor.text();
    let mut spans = vec![Span::styled(prompt, strong()), Span::raw(text.to_owned())];
    if app.typing == Typing::Order {
        let offers = app
            .editor
            .offers(app.watch.session.scenario(), seen, &app.watch.kit.sheets);
        let room = usize::from(area.width).saturating_sub(prompt.len() + text.chars().count() + 12);
        let mut shown = String::new();
        for offer in offers {
            if shown.len() + offer.len() + 3 > room {
                break;
            }
            shown.push_str("  ");
            shown.push_str(&offer);
        }
        let style = Style::new().add_modifier(Modifier::DIM);
        spans.push(Span::styled(format!("   {shown}"), style));
    }
    frame.render_widget(Paragraph::new(Line::from(spans)), area);
    let x = area.x + (prompt.len() + app.editor.at()) as u16;
    frame.set_cursor_position((x.min(area.right().saturating_sub(1)), area.y));
}
