//! The stock of a gas left by day over many simulated jobs: two bands, the median, the least of all and the
//! minimum to be held. The darker the band the likelier; its edges and lines are named where they end.

use crate::kit::axes::{DAYS, day_axis, days_below, spaced, values_beside};
use crate::kit::svg::{Anchor, Axis, Svg};
use deepstay_core::units::about;
use deepstay_stock::FanDay;

const WIDTH: f64 = 1040.0;
const LEFT: f64 = 76.0;
const RIGHT: f64 = 800.0;
const TOP: f64 = 34.0;
const BOTTOM: f64 = 314.0;

/// The stock by day. `minimum` is a level and the words for it; all values are in `unit`. The table of the
/// same rows stands beside it for those who do not see it.
pub fn fan(days: &[FanDay], minimum: Option<(f64, &str)>, title: &str, unit: &str) -> String {
    let mut svg = Svg::new(WIDTH, BOTTOM + 40.0, &described(days, minimum, title, unit));
    let heading = format!("{title}, {unit}");
    svg.text("name", Anchor::Start, 0.0, 14.0, &heading);
    let (Some(first), Some(last)) = (days.first(), days.last()) else {
        svg.text("faint", Anchor::Start, LEFT, TOP + 20.0, "no days");
        return svg.finish();
    };
    let floor = minimum.map_or(0.0, |m| m.0);
    let most = days.iter().map(|d| d.p95).fold(floor, f64::max);
    let least = days.iter().map(|d| d.least).fold(floor.min(0.0), f64::min);
    let y = Axis {
        from: least,
        to: (most - least).max(1e-9) * 1.04 + least,
        from_px: BOTTOM,
        to_px: TOP,
    };
    let x = day_axis(first.day, last.day, LEFT, RIGHT);
    svg.rect("ground", LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP);
    values_beside(&mut svg, &y, LEFT, RIGHT);
    let line = |of: fn(&FanDay) -> f64| -> Vec<(f64, f64)> {
        let points = days.iter();
        points
            .map(|d| (x.px(f64::from(d.day)), y.px(of(d))))
            .collect()
    };
    svg.area("fan-wide", &line(|d| d.p95), &line(|d| d.p05));
    svg.area("fan-near", &line(|d| d.p80), &line(|d| d.p20));
    svg.trace("fan-least", &line(|d| d.least));
    svg.trace("fan-median", &line(|d| d.p50));
    if let Some((level, _)) = minimum {
        let at = y.px(level);
        svg.line("fan-minimum", LEFT, at, RIGHT, at);
    }
    days_below(&mut svg, &x, BOTTOM, DAYS);
    svg.line("axis", LEFT, TOP, LEFT, BOTTOM);
    svg.line("axis", LEFT, BOTTOM, RIGHT, BOTTOM);
    ends(&mut svg, last, minimum, &y);
    svg.finish()
}

/// What the bands and lines are, beside where they end; labels that would touch are moved apart.
fn ends(svg: &mut Svg, last: &FanDay, minimum: Option<(f64, &str)>, y: &Axis) {
    let said = |words: &str, value: f64, more: &str| format!("{words}: {}{more}", about(value));
    let mut labels = vec![
        (last.p95, "small", said("1 in 20", last.p95, " or more")),
        (last.p80, "small", said("1 in 5", last.p80, " or more")),
        (last.p50, "name", said("median", last.p50, "")),
        (last.p20, "small", said("1 in 5", last.p20, " or less")),
        (last.p05, "small", said("1 in 20", last.p05, " or less")),
        (
            last.least,
            "faint",
            said("least of all (dotted)", last.least, ""),
        ),
    ];
    if let Some((level, words)) = minimum {
        let at = labels.iter().position(|l| l.0 < level);
        let label = (level, "warn", said(words, level, ""));
        labels.insert(at.unwrap_or(labels.len()), label);
    }
    labels.retain(|l| l.0.is_finite());
    let wanted: Vec<f64> = labels.iter().map(|l| y.px(l.0)).collect();
    let placed = spaced(&wanted, 15.0, TOP + 6.0, BOTTOM + 4.0);
    for ((_, class, words), (from, to)) in labels.iter().zip(wanted.iter().zip(&placed)) {
        svg.line("grid", RIGHT, *from, RIGHT + 14.0, *to);
        svg.text(class, Anchor::Start, RIGHT + 18.0, to + 4.0, words);
    }
}

/// The picture in words.
fn described(days: &[FanDay], minimum: Option<(f64, &str)>, title: &str, unit: &str) -> String {
    let end = days.last().map_or(String::new(), |d| {
        let (low, middle, high) = (about(d.p05), about(d.p50), about(d.p95));
        format!(
            "; on day {} the median is {middle}, 5 % {low}, 95 % {high}",
            d.day
        )
    });
    let minimum = minimum.map_or(String::new(), |(level, words)| {
        format!("; {words} {}", about(level))
    });
    format!("{title}, left by day, {unit}{end}{minimum}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_is_named_where_it_ends_and_nothing_is_no_number() {
        let days: Vec<FanDay> = (0..=10)
            .map(|day| {
                let left: Vec<f64> = (0..200)
                    .map(|i| 1000.0 - f64::from(day * (20 + i / 4)))
                    .collect();
                FanDay::of(day, &left)
            })
            .collect();
        let picture = fan(&days, Some((400.0, "minimum stock")), "heliox", "m³");
        for needed in [
            "heliox, m³",
            "days since the start",
            "median: ",
            "1 in 20: ",
            "minimum stock: 400",
            "least of all",
        ] {
            assert!(picture.contains(needed), "{needed}");
        }
        let empty = FanDay::of(0, &[]);
        for odd in [fan(&[], None, "a", "b"), fan(&[empty], None, "a", "b")] {
            assert!(odd.ends_with("</svg>") && !odd.contains("NaN"), "{odd}");
        }
    }
}
