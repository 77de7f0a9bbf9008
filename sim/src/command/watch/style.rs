//! What stands out and how: headings, signs and tints of alarms, and an alarm in words. Each tint has its word beside it.

use super::app::App;
use crate::job::AlarmNow;
use crate::record::{AlarmState, Severity};
use crate::watch::shown;
use ratatui::style::{Color, Modifier, Style};
use ratatui::text::{Line, Span};

/// What stands out without a colour.
pub fn strong() -> Style {
    Style::new().add_modifier(Modifier::BOLD)
}

/// Headings of panes.
pub fn heading(words: impl Into<String>) -> Line<'static> {
    let style = Style::new().add_modifier(Modifier::UNDERLINED);
    Line::from(Span::styled(words.into(), style))
}

/// The sign of an alarm's state, and whether it flashes: the sign alone does, and no letter.
pub fn sign(alarm: &AlarmNow) -> Span<'static> {
    let (sign, flashes) = match alarm.state {
        _ if alarm.suppressed => ("x", false),
        _ if alarm.shelved => ("~", false),
        AlarmState::Unacknowledged => ("!", true),
        AlarmState::Acknowledged => ("*", false),
        AlarmState::ReturnedUnacknowledged => ("?", false),
        AlarmState::Latched => ("#", false),
        AlarmState::Normal => (" ", false),
    };
    let style = tint(alarm.name.severity);
    let style = if flashes {
        style.add_modifier(Modifier::SLOW_BLINK)
    } else {
        style
    };
    Span::styled(sign, style)
}

/// The tint of how grave a thing is; its word stands beside it.
pub fn tint(severity: Severity) -> Style {
    match severity {
        Severity::Emergency => strong().fg(Color::Red).add_modifier(Modifier::REVERSED),
        Severity::Limit => strong().fg(Color::Yellow),
        Severity::Attention => Style::new().fg(Color::Cyan),
    }
}

/// An alarm in words, without its sign.
pub fn alarm_words(app: &App, alarm: &AlarmNow) -> String {
    let session = &app.watch.session;
    shown::alarm_words(session.scenario(), app.units, session.now(), alarm)
}
