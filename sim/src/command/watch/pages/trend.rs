//! A trend in plain signs: the first instrument, the second, and the limits in force behind them.

use super::super::app::App;
use super::super::style::heading;
use crate::job::Indicated;
use crate::record::Aspect;
use crate::units::Channel;
use crate::watch::{SPANS_S, TRENDS};
use crate::words::Words;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use ratatui::widgets::Paragraph;

/// Columns of the scale.
const SCALE: usize = 7;

/// Draws the trend chosen, of the vessel chosen.
pub fn draw(app: &App, seen: &Indicated, frame: &mut Frame, area: Rect) {
    let (quantity, span_s) = (TRENDS[app.trend.0], SPANS_S[app.trend.1]);
    let scale = app.units.scale(quantity);
    let title = format!(
        "Trend: {} {}, {} {} h",
        app.vessel_name(),
        quantity.words(),
        scale.plain,
        span_s as f64 / 3600.0
    );
    let mut lines = vec![heading(title)];
    let steel = &app.watch.session.scenario().steel;
    let from_s = seen.at_s - span_s;
    let of = |channel| {
        let id = steel.instrument(app.at(), quantity, channel);
        let trend = id.map(|id| app.watch.session.trend().of(id, from_s).collect::<Vec<_>>());
        trend.unwrap_or_default()
    };
    let courses = [of(Channel::Primary), of(Channel::Secondary)];
    let values = || courses.iter().flatten().map(|(_, v)| f64::from(*v));
    let (Some(least), Some(most)) = (
        values().min_by(f64::total_cmp),
        values().max_by(f64::total_cmp),
    ) else {
        lines.push(Line::from("nothing shown yet: a sample a minute"));
        frame.render_widget(Paragraph::new(lines), area);
        return;
    };
    let limits: Vec<f64> = seen
        .limits
        .iter()
        .filter(|(n, _)| {
            n.compartment == app.at() && n.quantity == quantity && n.aspect == Aspect::Inside
        })
        .map(|(_, v)| *v)
        .filter(|v| v.is_finite())
        .collect();
    // A limit near what is shown belongs to the picture; one far away would flatten it.
    let step = (0..scale.decimals).fold(1.0, |step, _| step / 10.0);
    let reach = (most - least).max(step) * 2.0;
    let near = |v: &&f64| **v > least - reach && **v < most + reach;
    let low = limits.iter().filter(near).copied().fold(least, f64::min);
    let high = limits.iter().filter(near).copied().fold(most, f64::max);
    let pad = ((high - low) * 0.05).max(1e-6);
    let (low, high) = (low - pad, high + pad);
    let rows = usize::from(area.height).saturating_sub(1).max(2);
    let columns = usize::from(area.width).saturating_sub(SCALE + 1).max(4);
    let mut grid = vec![vec![' '; columns]; rows];
    let row_of = |v: f64| {
        let share = ((high - v) / (high - low)).clamp(0.0, 1.0);
        (share * (rows - 1) as f64).round() as usize
    };
    for limit in limits.iter().filter(|v| (low..=high).contains(*v)) {
        let row = &mut grid[row_of(*limit)];
        row.iter_mut().step_by(2).for_each(|c| *c = '-');
    }
    for (course, sign) in courses.iter().rev().zip(['o', '*']) {
        for (t, v) in course {
            let share = (t - from_s) as f64 / span_s as f64;
            let column = ((share * (columns - 1) as f64).round() as usize).min(columns - 1);
            grid[row_of(f64::from(*v))][column] = sign;
        }
    }
    for (k, row) in grid.iter().enumerate() {
        let value = high - (high - low) * k as f64 / (rows - 1) as f64;
        let label = match k {
            _ if k == 0 || k == rows - 1 || k == rows / 2 => scale.digits(value),
            _ => String::new(),
        };
        lines.push(Line::from(format!(
            "{label:>SCALE$} {}",
            row.iter().collect::<String>()
        )));
    }
    frame.render_widget(Paragraph::new(lines), area);
}
