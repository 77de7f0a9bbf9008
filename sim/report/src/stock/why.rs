//! Which assumption matters most, in two charts: how each source goes with the answer over all simulated
//! jobs (rank correlation with its interval), and what each does alone (low and high against the base).

use crate::kit::axes::values_below;
use crate::kit::svg::{Anchor, Axis, Svg};
use deepstay_core::units::{about, fixed};
use deepstay_stock::{OneAtATime, SourceCorrelation, strongest_first, widest_first};

const WIDTH: f64 = 1040.0;
const LEFT: f64 = 330.0;
const ROW: f64 = 26.0;
const BAR: f64 = 14.0;
const HEAD: f64 = 44.0;

/// RankCorrelation correlations as bars from 0, the strongest first, with their 95 % intervals as whiskers.
pub fn pulls(pulls: &[SourceCorrelation], title: &str) -> String {
    const RIGHT: f64 = 900.0;
    let pulls = strongest_first(pulls.to_vec());
    let bottom = HEAD + pulls.len() as f64 * ROW;
    let first = pulls.first().map_or(String::new(), |p| {
        format!("; strongest: {}, {}", p.source, signed(p.rank.rho))
    });
    let mut svg = Svg::new(WIDTH, bottom + 40.0, &format!("{title}{first}"));
    svg.text("name", Anchor::Start, 0.0, 14.0, title);
    let x = Axis {
        from: -1.0,
        to: 1.0,
        from_px: LEFT,
        to_px: RIGHT,
    };
    svg.text(
        "small",
        Anchor::Start,
        LEFT,
        HEAD - 8.0,
        "← more of it, less needed",
    );
    svg.text(
        "small",
        Anchor::End,
        RIGHT,
        HEAD - 8.0,
        "more of it, more needed →",
    );
    svg.rect("ground", LEFT, HEAD, RIGHT - LEFT, bottom - HEAD);
    for at in [-1.0, -0.5, 0.0, 0.5, 1.0] {
        let class = if at == 0.0 { "axis" } else { "grid" };
        svg.line(class, x.px(at), HEAD, x.px(at), bottom);
        svg.text(
            "small",
            Anchor::Middle,
            x.px(at),
            bottom + 17.0,
            &signed_tenth(at),
        );
    }
    let words = "rank correlation (Spearman), with its 95 % interval";
    svg.text("small", Anchor::Middle, x.px(0.0), bottom + 33.0, words);
    for (i, pull) in pulls.iter().enumerate() {
        let y = HEAD + i as f64 * ROW + ROW / 2.0;
        let (zero, end) = (x.px(0.0), x.held(pull.rank.rho));
        // An interval that holds 0 says that the source may not matter: its bar is hollow.
        let sure = pull.rank.low > 0.0 || pull.rank.high < 0.0;
        let class = if sure { "why-bar" } else { "why-hollow" };
        svg.text("label", Anchor::End, LEFT - 10.0, y + 4.5, &pull.source);
        svg.rect(class, zero.min(end), y - BAR / 2.0, (end - zero).abs(), BAR);
        let (low, high) = (x.held(pull.rank.low), x.held(pull.rank.high));
        svg.line("whisker", low, y, high, y);
        svg.line("whisker", low, y - 4.0, low, y + 4.0);
        svg.line("whisker", high, y - 4.0, high, y + 4.0);
        svg.text(
            "value",
            Anchor::Start,
            RIGHT + 12.0,
            y + 4.5,
            &signed(pull.rank.rho),
        );
        if !sure {
            svg.text("faint", Anchor::Start, RIGHT + 62.0, y + 4.5, "may be none");
        }
    }
    svg.finish()
}

/// One source at a time at its low and at its high value, the widest first; `base` is the answer with all at
/// their base values, in `unit` as all answers are.
pub fn swings(swings: &[OneAtATime], base: f64, title: &str, unit: &str) -> String {
    const RIGHT: f64 = 960.0;
    /// Room for the values at the bars' ends, px.
    const ROOM: f64 = 118.0;
    let swings = widest_first(swings.to_vec());
    let bottom = HEAD + swings.len() as f64 * ROW;
    let first = swings.first().map_or(String::new(), |s| {
        format!(
            "; widest: {}, {} to {}",
            s.source,
            about(s.low),
            about(s.high)
        )
    });
    let mut svg = Svg::new(WIDTH, bottom + 40.0, &format!("{title}, {unit}{first}"));
    svg.text(
        "name",
        Anchor::Start,
        0.0,
        14.0,
        &format!("{title}, {unit}"),
    );
    let all = || {
        swings
            .iter()
            .flat_map(|s| [s.low, s.high])
            .filter(|v| v.is_finite())
    };
    let x = Axis {
        from: all().fold(base, f64::min),
        to: all().fold(base, f64::max),
        from_px: LEFT + ROOM,
        to_px: RIGHT - ROOM,
    };
    svg.rect("ground", LEFT, HEAD, RIGHT - LEFT, bottom - HEAD);
    values_below(&mut svg, &x, HEAD, bottom);
    let zero = x.px(base);
    for (i, swing) in swings.iter().enumerate() {
        let y = HEAD + i as f64 * ROW + ROW / 2.0;
        svg.text("label", Anchor::End, LEFT - 10.0, y + 4.5, &swing.source);
        for (value, input, class) in [
            (swing.low, &swing.low_input, "why-low"),
            (swing.high, &swing.high_input, "why-bar"),
        ] {
            let end = x.held(value);
            svg.rect(class, zero.min(end), y - BAR / 2.0, (end - zero).abs(), BAR);
            if !value.is_finite() {
                continue;
            }
            let other = if class == "why-low" {
                swing.high
            } else {
                swing.low
            };
            let (at, anchor) = beside(value - base, other - base, zero, end);
            let words = format!("{} ({input})", about(value));
            svg.text("small", anchor, at, y + 4.5, &words);
        }
    }
    svg.line("why-base", zero, HEAD - 4.0, zero, bottom);
    let words = format!("base case {}", about(base));
    svg.text("small", Anchor::Middle, zero, HEAD - 8.0, &words);
    legend(&mut svg, bottom + 33.0);
    svg.finish()
}

/// Where the value of a bar is written, px: outside its end; on the other side of the base where the other
/// bar goes the same way and further, so that neither lies under a bar.
fn beside(own: f64, other: f64, zero: f64, end: f64) -> (f64, Anchor) {
    let under = own * other >= 0.0 && own.abs() < other.abs();
    match (under, own < 0.0 || (own == 0.0 && other < 0.0)) {
        (true, true) => (zero + 5.0, Anchor::Start),
        (true, false) => (zero - 5.0, Anchor::End),
        (false, true) => (end - 5.0, Anchor::End),
        (false, false) => (end + 5.0, Anchor::Start),
    }
}

fn legend(svg: &mut Svg, y: f64) {
    svg.rect("why-low", LEFT, y - 10.0, 16.0, 11.0);
    svg.text(
        "small",
        Anchor::Start,
        LEFT + 21.0,
        y,
        "its low value alone (hollow)",
    );
    svg.rect("why-bar", LEFT + 220.0, y - 10.0, 16.0, 11.0);
    svg.text(
        "small",
        Anchor::Start,
        LEFT + 241.0,
        y,
        "its high value alone (filled); in brackets the value",
    );
}

fn signed(value: f64) -> String {
    sign(value, fixed(value.abs(), 2))
}

fn signed_tenth(value: f64) -> String {
    sign(value, fixed(value.abs(), 1))
}

fn sign(value: f64, digits: String) -> String {
    match value {
        v if v < 0.0 => format!("\u{2212}{digits}"),
        v if v > 0.0 => format!("+{digits}"),
        _ => digits,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_stock::RankCorrelation;

    #[test]
    fn the_strongest_stands_first_and_says_its_value() {
        let pull = |source: &str, rho: f64| SourceCorrelation {
            source: source.into(),
            rank: RankCorrelation {
                rho,
                low: rho - 0.1,
                high: rho + 0.1,
            },
        };
        let picture = pulls(
            &[pull("leak", 0.04), pull("reclaim", -0.8)],
            "what goes with it",
        );
        let place = |words: &str| picture.rfind(words).unwrap_or_else(|| panic!("{words}"));
        assert!(place(">reclaim<") < place(">leak<"));
        assert!(place("−0.80") < place("+0.04") && place("+0.04") < place("may be none"));
        assert!(pulls(&[], "nothing").ends_with("</svg>"));
    }

    #[test]
    fn values_stand_at_the_ends_of_their_bars_and_never_under_one() {
        let swing = |low, high| OneAtATime {
            source: "reclaim".into(),
            low_input: "70 %".into(),
            high_input: "95 %".into(),
            low,
            high,
        };
        let picture = swings(&[swing(17_200.0, 9100.0)], 12_600.0, "demand", "m³");
        assert!(
            picture.contains("17\u{202f}200 (70 %)") && picture.contains("9\u{202f}100 (95 %)")
        );
        assert!(picture.contains("base case 12\u{202f}600"));
        assert_eq!(beside(-3.0, 5.0, 100.0, 70.0), (65.0, Anchor::End));
        assert_eq!(beside(2.0, 5.0, 100.0, 120.0), (95.0, Anchor::End));
        assert_eq!(beside(0.0, -5.0, 100.0, 100.0), (105.0, Anchor::Start));
        assert_eq!(beside(0.0, 5.0, 100.0, 100.0), (95.0, Anchor::End));
        for odd in [
            swings(&[], 1.0, "a", "b"),
            swings(&[swing(f64::NAN, 1.0)], 1.0, "a", "b"),
        ] {
            assert!(odd.ends_with("</svg>") && !odd.contains("NaN"), "{odd}");
        }
    }
}
