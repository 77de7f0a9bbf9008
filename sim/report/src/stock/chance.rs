//! The chances of reaching the minimum stock and of stopping for want of gas, by day: two lines in steps with
//! their exact intervals.

use crate::kit::axes::{DAYS, day_axis, days_below, spaced};
use crate::kit::svg::{Anchor, Axis, Svg};
use deepstay_core::units::fixed;
use deepstay_stock::{Chance, ChanceDay};

const WIDTH: f64 = 1040.0;
const LEFT: f64 = 76.0;
const RIGHT: f64 = 800.0;
const TOP: f64 = 34.0;
const BOTTOM: f64 = 254.0;

/// Chances by day, in per cent. The table of the same rows stands beside it for those who do not see it.
pub fn chance(days: &[ChanceDay], title: &str) -> String {
    let mut svg = Svg::new(WIDTH, BOTTOM + 40.0, &described(days, title));
    svg.text(
        "name",
        Anchor::Start,
        0.0,
        14.0,
        &format!("{title}, % of jobs"),
    );
    let (Some(first), Some(last)) = (days.first(), days.last()) else {
        svg.text("faint", Anchor::Start, LEFT, TOP + 20.0, "no days");
        return svg.finish();
    };
    let most = days.iter().map(|d| d.minimum.high.max(d.stopped.high));
    // Small chances are read from a short axis, whose end is always printed.
    let to = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5];
    let highest = most.fold(0.0, f64::max);
    let y = Axis {
        from: 0.0,
        to: to.into_iter().find(|t| *t >= highest).unwrap_or(1.0),
        from_px: BOTTOM,
        to_px: TOP,
    };
    let x = day_axis(first.day, last.day, LEFT, RIGHT);
    svg.rect("ground", LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP);
    let percent = Axis {
        from: 0.0,
        to: y.to * 100.0,
        ..y
    };
    let (ticks, decimals) = percent.ticks(5);
    for tick in ticks {
        let at = percent.px(tick);
        svg.line("grid", LEFT, at, RIGHT, at);
        svg.text(
            "small",
            Anchor::End,
            LEFT - 6.0,
            at + 4.0,
            &fixed(tick, decimals),
        );
    }
    let steps = |of: &dyn Fn(&ChanceDay) -> f64| steps(days, &x, &y, of);
    svg.area(
        "chance-minimum-band",
        &steps(&|d| d.minimum.high),
        &steps(&|d| d.minimum.low),
    );
    svg.area(
        "chance-stop-band",
        &steps(&|d| d.stopped.high),
        &steps(&|d| d.stopped.low),
    );
    svg.trace("chance-minimum", &steps(&|d| d.minimum.p));
    svg.trace("chance-stop", &steps(&|d| d.stopped.p));
    days_below(&mut svg, &x, BOTTOM, DAYS);
    svg.line("axis", LEFT, TOP, LEFT, BOTTOM);
    svg.line("axis", LEFT, BOTTOM, RIGHT, BOTTOM);
    let labels = [
        (last.minimum, "minimum reached, dashed"),
        (last.stopped, "stopped for want of gas"),
    ];
    let order: [usize; 2] = if last.minimum.p < last.stopped.p {
        [1, 0]
    } else {
        [0, 1]
    };
    let wanted: Vec<f64> = order.iter().map(|i| y.held(labels[*i].0.p)).collect();
    let placed = spaced(&wanted, 36.0, TOP + 6.0, BOTTOM - 16.0);
    for (i, (from, to)) in order.iter().zip(wanted.iter().zip(&placed)) {
        let (chance, words) = labels[*i];
        svg.line("grid", RIGHT, *from, RIGHT + 14.0, *to);
        svg.text("label", Anchor::Start, RIGHT + 18.0, to + 4.0, words);
        svg.text(
            "small",
            Anchor::Start,
            RIGHT + 18.0,
            to + 20.0,
            &said(chance),
        );
    }
    svg.finish()
}

/// A line that holds a day's value over that day, up to its end.
fn steps(
    days: &[ChanceDay],
    x: &Axis,
    y: &Axis,
    of: &dyn Fn(&ChanceDay) -> f64,
) -> Vec<(f64, f64)> {
    let mut points: Vec<(f64, f64)> = Vec::with_capacity(2 * days.len());
    for day in days {
        let (at, level) = (x.px(f64::from(day.day)), y.held(of(day)));
        if let Some(before) = points.last().map(|p| p.0) {
            points.push((before, level));
        }
        points.push((at, level));
    }
    points
}

/// A chance with its interval.
fn said(chance: Chance) -> String {
    let percent = |part: f64| fixed(part * 100.0, if part < 0.0995 { 1 } else { 0 });
    let (p, low, high) = (percent(chance.p), percent(chance.low), percent(chance.high));
    format!("{p} %, between {low} and {high} %")
}

/// The picture in words.
fn described(days: &[ChanceDay], title: &str) -> String {
    days.last().map_or(title.to_owned(), |d| {
        let (minimum, stopped) = (said(d.minimum), said(d.stopped));
        format!(
            "{title}; by day {} minimum reached: {minimum}; stopped: {stopped}",
            d.day
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_said_with_their_intervals() {
        let days: Vec<ChanceDay> = (0..=8)
            .map(|day| ChanceDay {
                day,
                minimum: Chance::of(u64::from(day) * 4, 100),
                stopped: Chance::of(u64::from(day) / 2, 100),
            })
            .collect();
        let picture = chance(&days, "Chances");
        // 32 and 4 of 100: 23.0 to 42.1 % and 1.1 to 9.9 % (beta.ppf of scipy 1.17.1).
        for needed in [
            "32 %, between 23 and 42 %",
            "4.0 %, between 1.1 and 9.9 %",
            "dashed",
            "% of jobs",
        ] {
            assert!(picture.contains(needed), "{needed}: {picture}");
        }
        let nothing = ChanceDay {
            day: 0,
            minimum: Chance::of(0, 0),
            stopped: Chance::of(0, 0),
        };
        for odd in [chance(&[], "a"), chance(&[nothing], "a")] {
            assert!(odd.ends_with("</svg>") && !odd.contains("NaN"), "{odd}");
        }
    }
}
