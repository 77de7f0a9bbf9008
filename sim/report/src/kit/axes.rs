//! What the charts of an ensemble share: an axis of days, values beside it, and labels kept apart.

use super::svg::{Anchor, Axis, Svg};
use deepstay_core::units::{about, fixed};

/// Words under an axis of days.
pub const DAYS: &str = "days since the start";

/// An axis of whole days.
pub fn day_axis(first: u32, last: u32, left: f64, right: f64) -> Axis {
    Axis {
        from: f64::from(first),
        to: f64::from(last.max(first.saturating_add(1))),
        from_px: left,
        to_px: right,
    }
}

/// Days under an axis, whole ones, and the words for it.
pub fn days_below(svg: &mut Svg, x: &Axis, bottom: f64, words: &str) {
    let (ticks, _) = x.ticks(12);
    for tick in ticks.into_iter().filter(|t| t.fract() == 0.0) {
        let at = x.px(tick);
        svg.line("axis", at, bottom, at, bottom + 4.0);
        svg.text("small", Anchor::Middle, at, bottom + 17.0, &fixed(tick, 0));
    }
    let middle = (x.from_px + x.to_px) / 2.0;
    svg.text("small", Anchor::Middle, middle, bottom + 33.0, words);
}

/// Lines across and their values, to the left of an upright axis.
pub fn values_beside(svg: &mut Svg, y: &Axis, left: f64, right: f64) {
    let (ticks, decimals) = y.ticks(6);
    for tick in ticks {
        let at = y.px(tick);
        svg.line("grid", left, at, right, at);
        let value = even(tick, decimals);
        svg.text("small", Anchor::End, left - 6.0, at + 4.0, &value);
    }
}

/// A value of an axis with as many digits as its neighbours, thousands set apart.
fn even(tick: f64, decimals: usize) -> String {
    if decimals == 0 && tick.abs() >= 100.0 {
        about(tick)
    } else {
        fixed(tick, decimals)
    }
}

/// Upright lines and their values under a lying axis.
pub fn values_below(svg: &mut Svg, x: &Axis, top: f64, bottom: f64) {
    let (ticks, decimals) = x.ticks(5);
    for tick in ticks {
        let at = x.px(tick);
        svg.line("grid", at, top, at, bottom);
        let value = even(tick, decimals);
        svg.text("small", Anchor::Middle, at, bottom + 17.0, &value);
    }
}

/// Places near those wanted, in their order from the top, at least `apart` from each other and, where they
/// all fit, between two ends.
pub fn spaced(wanted: &[f64], apart: f64, top: f64, bottom: f64) -> Vec<f64> {
    let mut placed: Vec<f64> = Vec::with_capacity(wanted.len());
    for at in wanted {
        let free = placed.last().map_or(top, |p| p + apart);
        placed.push(at.max(free));
    }
    let mut most = bottom;
    for at in placed.iter_mut().rev() {
        *at = at.min(most);
        most = *at - apart;
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_kept_apart_and_inside() {
        let placed = spaced(&[10.0, 11.0, 12.0, 96.0, 99.0, 99.0], 10.0, 0.0, 100.0);
        assert_eq!(placed, [10.0, 20.0, 30.0, 80.0, 90.0, 100.0]);
        assert!(spaced(&[], 10.0, 0.0, 100.0).is_empty());
    }
}
