//! Trends of a chamber: depth, ppO2, ppCO2, temperature and humidity one above the other on one time
//! axis, limits as bands behind them, and what was true wherever it differs from what was shown.

use super::inputs::{Inputs, LimitBand};
use crate::kit::svg::{Anchor, Axis, Svg, thin};
use deepstay_core::record::{Aspect, Bound, LogRow, Outside, Teller};
use deepstay_core::units::{CompartmentId, Quantity, Scale, Truth, fixed, span};
use deepstay_core::words::{Names, Words};

const WIDTH: f64 = 1040.0;
const LEFT: f64 = 112.0;
const RIGHT: f64 = 852.0;
const TOP: f64 = 20.0;
const PANEL: f64 = 84.0;
const GAP: f64 = 20.0;
/// True and shown that differ by more than this share of the panel's height are both drawn.
const APART: f64 = 0.05;

/// The panels of a living space, in order, with the least range that each shows in its plain unit.
const PANELS: [(Quantity, f64); 5] = [
    (Quantity::Depth, 10.0),
    (Quantity::PpO2, 0.1),
    (Quantity::PpCo2, 0.004),
    (Quantity::Temperature, 4.0),
    (Quantity::Humidity, 0.2),
];

/// One panel, laid out.
struct Panel<'a> {
    quantity: Quantity,
    top: f64,
    y: Axis,
    limits: Vec<&'a LimitBand>,
    shown: Vec<(i64, f64)>,
    truth: Vec<(i64, f64)>,
}

/// Everything the trends of one chamber are drawn from.
pub struct Trends<'a> {
    inputs: &'a Inputs<'a>,
    compartment: CompartmentId,
    rows: Vec<&'a LogRow>,
    outside: Vec<Outside>,
    end_s: i64,
}

impl<'a> Trends<'a> {
    /// Gathers what was logged of a chamber; none if nothing was.
    pub fn of(
        inputs: &'a Inputs<'a>,
        compartment: CompartmentId,
        outside: &[Outside],
    ) -> Option<Trends<'a>> {
        let rows: Vec<&LogRow> = inputs
            .record
            .log
            .rows()
            .iter()
            .filter(|r| r.compartment == compartment)
            .collect();
        let outside = outside
            .iter()
            .filter(|o| o.key.name.compartment == compartment)
            .copied()
            .collect();
        let end_s = inputs.outcome.ended_s.max(rows.last()?.at).max(1);
        Some(Trends {
            inputs,
            compartment,
            rows,
            outside,
            end_s,
        })
    }

    /// The picture, with all quantities or with depth alone.
    pub fn draw(&self, all: bool) -> String {
        let logged = |q: Quantity| {
            self.rows
                .iter()
                .any(|r| r.shown(q).is_some() || r.value(q, Teller::Truth).is_some())
        };
        let panels: Vec<_> = PANELS
            .into_iter()
            .filter(|(q, _)| (all || *q == Quantity::Depth) && logged(*q))
            .collect();
        let height = TOP + panels.len() as f64 * (PANEL + GAP) + 18.0;
        let name = self.inputs.subject.compartment(self.compartment);
        let mut svg = Svg::new(WIDTH, height, &format!("Trends of {name}"));
        let time = Axis {
            from: 0.0,
            to: self.end_s as f64,
            from_px: LEFT,
            to_px: RIGHT,
        };
        let tops = |i: usize| TOP + i as f64 * (PANEL + GAP);
        let panels: Vec<Panel<'_>> = panels
            .into_iter()
            .enumerate()
            .map(|(i, (quantity, least))| self.panel(quantity, least, tops(i)))
            .collect();
        for panel in &panels {
            svg.rect("ground", LEFT, panel.top, RIGHT - LEFT, PANEL);
            for limit in &panel.limits {
                band(&mut svg, &time, &panel.y, limit, self.end_s);
            }
        }
        let bottom = tops(panels.len()) - GAP;
        days(
            &mut svg,
            self.inputs.subject.time.second_of_day(0),
            self.end_s,
            &time,
            TOP,
            bottom,
        );
        for panel in &panels {
            self.draw_panel(&mut svg, &time, panel);
        }
        svg.finish()
    }

    fn series(&self, value: impl Fn(&LogRow) -> Option<f64>) -> Vec<(i64, f64)> {
        self.rows
            .iter()
            .map(|r| (r.at, value(r).unwrap_or(f64::NAN)))
            .collect()
    }

    fn panel(&self, quantity: Quantity, least: f64, top: f64) -> Panel<'a> {
        let shown = self.series(|r| r.shown(quantity));
        let truth = self.series(|r| r.value(quantity, Teller::Truth));
        let mine = |l: &&LimitBand| {
            l.name.aspect == Aspect::Inside
                && (l.name.compartment, l.name.quantity) == (self.compartment, quantity)
        };
        let limits: Vec<&LimitBand> = self.inputs.limits.iter().filter(mine).collect();
        let values = shown
            .iter()
            .chain(&truth)
            .map(|p| p.1)
            .filter(|v| v.is_finite());
        let (from, to) = reach(values, &limits, least);
        let (from_px, to_px) = match quantity {
            Quantity::Depth => (top, top + PANEL),
            _ => (top + PANEL, top),
        };
        let y = Axis {
            from,
            to,
            from_px,
            to_px,
        };
        Panel {
            quantity,
            top,
            y,
            limits,
            shown,
            truth,
        }
    }

    fn draw_panel(&self, svg: &mut Svg, time: &Axis, panel: &Panel<'_>) {
        let Panel {
            quantity,
            top,
            y,
            shown,
            truth,
            ..
        } = panel;
        let scale = self.inputs.units.scale(*quantity);
        self.frame(svg, &scale, y, *quantity, *top);
        let line = |values: &[(i64, f64)]| {
            let points: Vec<(f64, f64)> = values
                .iter()
                .map(|(t, v)| (time.px(*t as f64), y.px(*v)))
                .collect();
            thin(&points, 1.2)
        };
        if *quantity == Quantity::Depth {
            svg.trace("target", &line(&self.series(|r| r.target_msw)));
        }
        let least = APART * (y.to - y.from).abs();
        let second = apart(
            shown,
            &self.series(|r| r.value(*quantity, Teller::Secondary)),
            least,
        );
        let truth = apart(shown, truth, least);
        svg.trace("second", &line(&second));
        svg.trace("shown", &line(shown));
        svg.trace("true", &line(&truth));
        self.strips(svg, time, *quantity, *top);
        let any = |values: &[(i64, f64)]| values.iter().any(|p| p.1.is_finite());
        self.beside(
            svg,
            &scale,
            *quantity,
            *top,
            shown,
            (any(&second), any(&truth)),
        );
    }

    fn frame(&self, svg: &mut Svg, scale: &Scale, y: &Axis, quantity: Quantity, top: f64) {
        svg.line("axis", LEFT, top, LEFT, top + PANEL);
        svg.line("axis", LEFT, top + PANEL, RIGHT, top + PANEL);
        let printed = Axis {
            from: scale.of(y.from),
            to: scale.of(y.to),
            ..*y
        };
        let (ticks, decimals) = printed.ticks(4);
        for tick in ticks {
            let at = printed.px(tick);
            svg.line("axis", LEFT - 4.0, at, LEFT, at);
            svg.text(
                "small",
                Anchor::End,
                LEFT - 7.0,
                at + 4.0,
                &fixed(tick, decimals),
            );
        }
        svg.text("name", Anchor::Start, 0.0, top + 12.0, quantity.words());
        svg.text("small", Anchor::Start, 0.0, top + 28.0, scale.unit);
    }

    /// What happened outside the limits, to the second, as bars along the panel's foot.
    fn strips(&self, svg: &mut Svg, time: &Axis, quantity: Quantity, top: f64) {
        for o in self
            .outside
            .iter()
            .filter(|o| o.key.name.quantity == quantity)
        {
            let (from, to) = (
                time.held(o.from_s as f64),
                time.held(o.to_s.unwrap_or(self.end_s) as f64),
            );
            let (class, y) = match o.key.truth {
                Truth::Shown => ("out-shown", top + PANEL + 1.5),
                Truth::True => ("out-true", top + PANEL + 7.5),
            };
            let told = format!(
                "{} {} {} limit ({}), from {} for {}",
                quantity.words(),
                "past the",
                o.key.name.bound.words(),
                o.key.truth.words(),
                self.inputs.subject.time.clock(o.from_s),
                span(o.lasted_s(self.end_s))
            );
            svg.rect_told(class, from, y, (to - from).max(3.0), 5.0, &told);
        }
    }

    fn beside(
        &self,
        svg: &mut Svg,
        scale: &Scale,
        quantity: Quantity,
        top: f64,
        shown: &[(i64, f64)],
        (second_apart, truth_apart): (bool, bool),
    ) {
        let x = RIGHT + 12.0;
        let mut y = top + 12.0;
        let mut say = |class: &str, text: &str| {
            svg.text(class, Anchor::Start, x, y, text);
            y += 15.0;
        };
        let values: Vec<f64> = shown
            .iter()
            .map(|p| p.1)
            .filter(|v| v.is_finite())
            .collect();
        if let Some(last) = values.last() {
            say("value", &format!("{} at the end", scale.text(*last)));
            let (low, high) = values
                .iter()
                .fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(*v), h.max(*v)));
            say(
                "small",
                &format!("{} to {}", scale.digits(low), scale.text(high)),
            );
        }
        let out = |truth: Truth| {
            let mine = self
                .outside
                .iter()
                .filter(|o| o.key.name.quantity == quantity && o.key.truth == truth);
            mine.map(|o| o.lasted_s(self.end_s)).sum::<i64>()
        };
        let (by_shown, by_true) = (out(Truth::Shown), out(Truth::True));
        if by_shown > 0 {
            say("warn", &format!("▲ indicated outside {}", span(by_shown)));
        }
        if by_true > 0 {
            say("warn", &format!("▲ truly outside {}", span(by_true)));
        }
        if truth_apart {
            say("key-true", "╌ true, where it differs");
        }
        if second_apart {
            say("small", "┄ second instrument");
        }
    }
}

/// The values of `other` where it lies apart from `shown` by more than `least`, with the points next to
/// those; gaps elsewhere. Where nothing was shown, all of it.
fn apart(shown: &[(i64, f64)], other: &[(i64, f64)], least: f64) -> Vec<(i64, f64)> {
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
fn reach(values: impl Iterator<Item = f64>, limits: &[&LimitBand], least: f64) -> (f64, f64) {
    let (mut low, mut high) = values.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
    if low > high {
        (low, high) = (0.0, least);
    }
    let room = (high - low).max(least);
    let near = |l: &&&LimitBand| l.value < high + room && l.value > low - room;
    let nearest_high = limits
        .iter()
        .filter(near)
        .filter(|l| l.name.bound == Bound::High)
        .map(|l| l.value)
        .fold(f64::MAX, f64::min);
    let nearest_low = limits
        .iter()
        .filter(near)
        .filter(|l| l.name.bound == Bound::Low)
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

fn band(svg: &mut Svg, time: &Axis, y: &Axis, limit: &LimitBand, end_s: i64) {
    let (from, to) = (
        time.held(limit.from_s as f64),
        time.held(limit.to_s.min(end_s) as f64),
    );
    let edge = match limit.name.bound {
        Bound::High => y.to_px,
        Bound::Low => y.from_px,
    };
    let at = y.held(limit.value);
    svg.rect("beyond", from, at.min(edge), to - from, (at - edge).abs());
    if y.reaches(limit.value) && to > from {
        svg.line("limit", from, at, to, at);
    }
}

/// Midnights of the ship's clock (or hours, for a short run) as fine lines with their names above.
fn days(svg: &mut Svg, second_of_day: i64, end_s: i64, time: &Axis, top: f64, bottom: f64) {
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
    use deepstay_core::record::{LimitBy, LimitName, Severity};
    use deepstay_core::units::{CompartmentId, Quantity};

    #[test]
    fn a_panel_reaches_to_its_nearest_limits_only() {
        let limit = |bound, value| LimitBand {
            name: LimitName {
                compartment: CompartmentId(0),
                quantity: Quantity::PpCo2,
                aspect: Aspect::Inside,
                bound,
                severity: Severity::Limit,
                by: LimitBy::Rating,
            },
            value,
            from_s: 0,
            to_s: 10,
            label: String::new(),
            source: String::new(),
        };
        let (near, far) = (limit(Bound::High, 0.005), limit(Bound::High, 0.06));
        let (low, high) = reach([0.002, 0.003].into_iter(), &[&near, &far], 0.004);
        assert!(low >= 0.0 && high > 0.005 && high < 0.01, "{low} {high}");
    }
}
