//! Alarms: each with its number, state and set point, the instrument it goes by and the second one beside it; what is
//! set aside; and what the signs mean.

use super::super::app::App;
use super::super::style::{alarm_words, heading, sign, tint};
use crate::job::Indicated;
use crate::units::Channel;
use crate::watch::shown::cell;
use crate::words::{Names, Words};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Modifier;
use ratatui::text::{Line, Span};
use ratatui::widgets::Paragraph;

/// Draws the page.
pub fn draw(app: &App, seen: &Indicated, frame: &mut Frame, area: Rect) {
    let scenario = app.watch.session.scenario();
    let mut lines = vec![heading("Alarms, the longest standing first")];
    if seen.alarms.is_empty() {
        lines.push(Line::from("Nothing rings, and nothing waits."));
    }
    let first = app.turned.min(seen.alarms.len().saturating_sub(1));
    for (number, alarm) in (1..).zip(&seen.alarms).skip(first) {
        let style = tint(alarm.name.severity).remove_modifier(Modifier::REVERSED);
        lines.push(Line::from(vec![
            Span::raw(" "),
            sign(alarm),
            Span::styled(format!(" {number:>2}  {}", alarm_words(app, alarm)), style),
        ]));
        // The raw inputs behind it: both instruments, and where it sounds.
        let at = alarm.name.compartment;
        let of = |channel| cell(seen, app.units, at, alarm.name.quantity, channel);
        lines.push(Line::from(format!(
            "       shows {}, second {}; after {} s; sounds at {}{}",
            of(Channel::Primary),
            of(Channel::Secondary),
            alarm.setting.delay_s,
            scenario.sounds(alarm.setting.sounds),
            if alarm.setting.latches {
                "; latches"
            } else {
                ""
            },
        )));
    }
    let mut number = seen.alarms.len();
    for (name, until) in &seen.shelved {
        number += 1;
        let left = until.map_or(String::new(), |t| {
            let minutes = (t - seen.at_s).max(0) as f64 / 60.0;
            format!(", {} min", crate::units::fixed(minutes.ceil(), 0))
        });
        lines.push(Line::from(format!(
            " ~ {number:>2}  {} shelved (inhibited){left}, does not ring",
            scenario.limit(name)
        )));
    }
    lines.push(Line::from(""));
    lines.push(Line::from(
        " ! not acknowledged   * acknowledged   ? returned, not acknowledged   # over, to be reset",
    ));
    lines.push(Line::from(" ~ shelved   x suppressed"));
    lines.push(Line::from(format!(
        " {}",
        crate::record::Severity::ALL.map(|s| s.words()).join(", ")
            + ": the gravest first on every page"
    )));
    frame.render_widget(Paragraph::new(lines), area);
}
