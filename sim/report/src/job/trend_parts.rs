//! Parts of a trend picture: its reach, its limit bands, its days, and where two lines lie apart.

use super::inputs::LimitBand;
use crate::kit::svg::{Anchor, Axis, Svg};
use deepstay_core::record::Side;

/// The values of `other` where it lies apart from `shown` by more than `least`, with the points next to
/// those; gaps elsewhere. Where nothing was shown, all of it.
pub(super) fn apart(shown: &[(i64, f64)], other: &[(i64, f64)], least: f64) -> Vec<(i64, f64)> {
    let is_apart = |i: usize| match (shown.get(i), other.get(i)) {
        (Some(a), Some(b)) => b.1.is_finite() && (a.1.is_nan() || (a.1 - b.1).abs() > least),
        _ => false,
    };
    let near = |i: usize| (i.saturating_sub(1)..=i + 1).any(is_apart);
    (0..other.len())
        .map(|i| (other[i].0, if near(i) { other[i].1 } else { f64::NAN }))
        .collect()
}

/// Lowest and highest value that a panel shows: the data, the nearest limit on each side, some air.
pub(super) fn reach(
    values: impl Iterator<Item = f64>,
    limits: &[&LimitBand],
    least: f64,
) -> (f64, f64) {
    let (mut low, mut high) = values.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
    if low > high {
        (low, high) = (0.0, least);
    }
    let room = (high - low).max(least);
    let near = |l: &&&LimitBand| l.value < high + room && l.value > low - room;
    let nearest_high = limits
        .iter()
        .filter(near)
        .filter(|l| l.side == Side::High)
        .map(|l| l.value)
        .fold(f64::MAX, f64::min);
    let nearest_low = limits
        .iter()
        .filter(near)
        .filter(|l| l.side == Side::Low)
        .map(|l| l.value)
        .fold(f64::MIN, f64::max);
    if nearest_high < f64::MAX {
        high = high.max(nearest_high);
    }
    if nearest_low > f64::MIN {
        low = low.min(nearest_low);
    }
    let positive = low >= 0.0;
    let lack = (least - (high - low)).max(0.0) / 2.0;
    let air = 0.06 * (high - low).max(least);
    let (mut low, mut high) = (low - lack - air, high + lack + air);
    if positive && low < 0.0 {
        high -= low.max(-lack);
        low = 0.0;
    }
    (low, high)
}

pub(super) fn band(svg: &mut Svg, time: &Axis, y: &Axis, limit: &LimitBand, end_s: i64) {
    let (from, to) = (
        time.held(limit.from_s as f64),
        time.held(limit.to_s.min(end_s) as f64),
    );
    let edge = match limit.side {
        Side::High => y.to_px,
        Side::Low => y.from_px,
    };
    let at = y.held(limit.value);
    svg.rect("beyond", from, at.min(edge), to - from, (at - edge).abs());
    if y.reaches(limit.value) && to > from {
        svg.line("limit", from, at, to, at);
    }
}

/// Midnights of the ship's clock (or hours, for a short run) as fine lines with their names above.
pub(super) fn days(
    svg: &mut Svg,
    second_of_day: i64,
    end_s: i64,
    time: &Axis,
    top: f64,
    bottom: f64,
) {
    const STEPS_S: [i64; 9] = [
        3600,
        3 * 3600,
        6 * 3600,
        12 * 3600,
        86_400,
        2 * 86_400,
        5 * 86_400,
        10 * 86_400,
        50 * 86_400,
    ];
    let step = STEPS_S
        .into_iter()
        .find(|s| end_s / s <= 16)
        .unwrap_or(100 * 86_400);
    let mut clock = (second_of_day.div_euclid(step) + 1) * step;
    if second_of_day % step == 0 {
        clock -= step;
    }
    while clock - second_of_day <= end_s {
        let x = time.px((clock - second_of_day) as f64);
        svg.line("grid", x, top, x, bottom);
        let (day, hour) = (
            clock.div_euclid(86_400) + 1,
            clock.rem_euclid(86_400) / 3600,
        );
        let name = if step < 86_400 {
            format!("D{day:02} {hour:02}h")
        } else {
            format!("D{day:02}")
        };
        svg.text("small", Anchor::Middle, x, top - 6.0, &name);
        clock += step;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_core::units::{CompartmentId, Quantity};

    #[test]
    fn a_panel_reaches_to_its_nearest_limits_only() {
        let limit = |side, value| LimitBand {
            compartment: CompartmentId(0),
            quantity: Quantity::PpCo2,
            side,
            value,
            from_s: 0,
            to_s: 10,
            label: String::new(),
            source: String::new(),
        };
        let (near, far) = (limit(Side::High, 0.005), limit(Side::High, 0.06));
        let (low, high) = reach([0.002, 0.003].into_iter(), &[&near, &far], 0.004);
        assert!(low >= 0.0 && high > 0.005 && high < 0.01, "{low} {high}");
    }
}
