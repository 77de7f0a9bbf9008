//! A small writer of SVG pictures, and the axes that plots share.

use std::fmt::Write;

/// A picture being drawn. Colours and line widths come from the page's style by class.
pub struct Svg {
    out: String,
}

/// On which side of its point a text lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The text begins at the point.
    Start,
    /// The text is centred on the point.
    Middle,
    /// The text ends at the point.
    End,
}

impl Svg {
    /// An empty picture of a size in px, with a description for those who cannot see it.
    pub fn new(width: f64, height: f64, described: &str) -> Svg {
        let mut svg = Svg {
            out: String::with_capacity(4096),
        };
        let (w, h) = (px(width), px(height));
        svg.put(format_args!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}" width="{w}" height="{h}" role="img" aria-label="{}">"#,
            escape(described)
        ));
        svg
    }

    fn put(&mut self, text: std::fmt::Arguments<'_>) {
        // Writing to a String cannot fail.
        let _ = self.out.write_fmt(text);
    }

    /// A filled box.
    pub fn rect(&mut self, class: &str, x: f64, y: f64, width: f64, height: f64) {
        if width > 0.0 && height > 0.0 {
            let (x, y, w, h) = (px(x), px(y), px(width), px(height));
            self.put(format_args!(
                r#"<rect class="{class}" x="{x}" y="{y}" width="{w}" height="{h}"/>"#
            ));
        }
    }

    /// A filled box that says what it is when pointed at.
    pub fn rect_told(&mut self, class: &str, x: f64, y: f64, width: f64, height: f64, told: &str) {
        let (x, y, w, h) = (px(x), px(y), px(width.max(0.3)), px(height));
        self.put(format_args!(
            r#"<rect class="{class}" x="{x}" y="{y}" width="{w}" height="{h}"><title>{}</title></rect>"#,
            escape(told)
        ));
    }

    /// A straight line.
    pub fn line(&mut self, class: &str, x1: f64, y1: f64, x2: f64, y2: f64) {
        let (x1, y1, x2, y2) = (px(x1), px(y1), px(x2), px(y2));
        self.put(format_args!(
            r#"<line class="{class}" x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"/>"#
        ));
    }

    /// A line through points; where a point is not finite the line breaks.
    pub fn trace(&mut self, class: &str, points: &[(f64, f64)]) {
        let mut path = String::new();
        let mut pen_down = false;
        let mut last = (f64::NAN, f64::NAN);
        for (i, &(x, y)) in points.iter().enumerate() {
            if !y.is_finite() {
                pen_down = false;
                continue;
            }
            let next = points.get(i + 1).map_or(f64::NAN, |p| p.1);
            if pen_down && tenth(last.1) == tenth(y) && tenth(next) == tenth(y) {
                last = (x, y);
                continue;
            }
            let _ = write!(
                path,
                "{}{} {}",
                if pen_down { 'L' } else { 'M' },
                px(x),
                px(y)
            );
            pen_down = true;
            last = (x, y);
        }
        if !path.is_empty() {
            self.put(format_args!(r#"<path class="{class}" d="{path}"/>"#));
        }
    }

    /// A filled area between an upper and a lower line; points that are not finite are left out.
    pub fn area(&mut self, class: &str, upper: &[(f64, f64)], lower: &[(f64, f64)]) {
        let mut path = String::new();
        let around = upper.iter().chain(lower.iter().rev());
        for (x, y) in around.filter(|p| p.0.is_finite() && p.1.is_finite()) {
            let sign = if path.is_empty() { 'M' } else { 'L' };
            let _ = write!(path, "{sign}{} {}", px(*x), px(*y));
        }
        if !path.is_empty() {
            self.put(format_args!(r#"<path class="{class}" d="{path}Z"/>"#));
        }
    }

    /// A line of text.
    pub fn text(&mut self, class: &str, anchor: Anchor, x: f64, y: f64, text: &str) {
        let at = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let (x, y) = (px(x), px(y));
        self.put(format_args!(
            r#"<text class="{class}" text-anchor="{at}" x="{x}" y="{y}">{}</text>"#,
            escape(text)
        ));
    }

    /// The picture as text.
    pub fn finish(mut self) -> String {
        self.out.push_str("</svg>");
        self.out
    }
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round()
}

/// A coordinate with at most one digit after the point.
fn px(value: f64) -> String {
    let tenths = tenth(value);
    if tenths % 10.0 == 0.0 {
        format!("{}", tenths / 10.0 + 0.0)
    } else {
        format!("{:.1}", tenths / 10.0)
    }
}

fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}

/// A straight scale from values to px.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// Value at `from_px`.
    pub from: f64,
    /// Value at `to_px`.
    pub to: f64,
    /// Where `from` lies.
    pub from_px: f64,
    /// Where `to` lies.
    pub to_px: f64,
}

impl Axis {
    /// Where a value lies, px.
    pub fn px(&self, value: f64) -> f64 {
        let span = if self.to == self.from {
            1.0
        } else {
            self.to - self.from
        };
        self.from_px + (value - self.from) / span * (self.to_px - self.from_px)
    }

    /// Where a value lies, px, held to the ends of the axis.
    pub fn held(&self, value: f64) -> f64 {
        let (a, b) = (self.from_px.min(self.to_px), self.from_px.max(self.to_px));
        self.px(value).max(a).min(b)
    }

    /// Whether a value lies on the axis.
    pub fn reaches(&self, value: f64) -> bool {
        value >= self.from.min(self.to) && value <= self.from.max(self.to)
    }

    /// Round values along the axis, at most `most` steps apart, and the digits they need.
    pub fn ticks(&self, most: usize) -> (Vec<f64>, usize) {
        let (low, high) = (self.from.min(self.to), self.from.max(self.to));
        let (step, decimals) = round_step((high - low) / most.max(1) as f64);
        let first = (low / step - 1e-9).ceil();
        let last = (high / step + 1e-9).floor();
        let count = (last - first).clamp(0.0, 100.0) as usize + 1;
        let ticks = (0..count)
            .map(|i| (first + i as f64) * step)
            .filter(|t| *t <= high + step * 1e-6);
        (ticks.collect(), decimals)
    }
}

/// The smallest of 1, 2, 5 times a power of ten that is at least `least`, and its digits after the point.
fn round_step(least: f64) -> (f64, usize) {
    if !least.is_finite() || least <= 0.0 {
        return (1.0, 0);
    }
    let power = libm::floor(libm::log10(least));
    let ten = libm::pow(10.0, power);
    let mut decimals = (-power).max(0.0) as usize;
    let times = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|t| t * ten >= least * (1.0 - 1e-9))
        .unwrap_or(10.0);
    if times == 10.0 {
        decimals = decimals.saturating_sub(1);
    }
    (times * ten, decimals)
}

/// Thins a trace to two points (lowest and highest) for each column of px, keeping peaks and gaps.
pub fn thin(points: &[(f64, f64)], column_px: f64) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    let mut start = 0;
    while start < points.len() {
        let column = (points[start].0 / column_px).floor();
        let gap = !points[start].1.is_finite();
        let same = |p: &(f64, f64)| (p.0 / column_px).floor() == column && p.1.is_finite() != gap;
        let end = start + points[start..].iter().take_while(|p| same(p)).count();
        let part = &points[start..end];
        if part.len() <= 2 || gap {
            out.extend(part.iter().take(2));
        } else {
            let low = (0..part.len())
                .min_by(|a, b| part[*a].1.total_cmp(&part[*b].1))
                .unwrap_or(0);
            let high = (0..part.len())
                .max_by(|a, b| part[*a].1.total_cmp(&part[*b].1))
                .unwrap_or(0);
            let (first, second) = (low.min(high), low.max(high));
            out.push(part[first]);
            if second != first {
                out.push(part[second]);
            }
        }
        start = end;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_stay_on_the_axis() {
        let axis = |from, to| Axis {
            from,
            to,
            from_px: 0.0,
            to_px: 100.0,
        };
        assert_eq!(axis(0.0, 118.0).ticks(4).0, vec![0.0, 50.0, 100.0]);
        let (ticks, decimals) = axis(0.36, 0.52).ticks(4);
        assert_eq!((ticks.len(), decimals), (3, 2));
        assert!((ticks[0] - 0.4).abs() < 1e-12);
        assert_eq!(axis(5.0, 5.0).ticks(3).0.len(), 1);
    }

    #[test]
    fn thinning_keeps_peaks_and_gaps() {
        let mut points: Vec<(f64, f64)> = (0..1000).map(|i| (f64::from(i) * 0.1, 1.0)).collect();
        points[500].1 = 9.0;
        points[700].1 = f64::NAN;
        let thinned = thin(&points, 1.0);
        assert!(thinned.len() < 220);
        assert!(thinned.iter().any(|p| p.1 == 9.0) && thinned.iter().any(|p| p.1.is_nan()));
    }

    #[test]
    fn text_cannot_break_out() {
        let mut svg = Svg::new(10.0, 10.0, "a \"b\"");
        svg.text("t", Anchor::Start, 0.0, 0.0, "<script>&");
        let text = svg.finish();
        assert!(text.contains("&lt;script&gt;&amp;") && text.contains("a &quot;b&quot;"));
    }
}
