//! What the charts by the week have in common: how wide they are, where the names end and the time begins,
//! and the line and words at which a day begins.

use super::svg::{Anchor, Axis, Svg};
use crate::subject::Subject;

pub(crate) const WIDTH: f64 = 1040.0;
/// Where the time begins and ends.
pub(crate) const LEFT: f64 = 74.0;
pub(crate) const RIGHT: f64 = 1036.0;
/// Height of a bar.
pub(crate) const BAR: f64 = 10.0;

/// Time across a strip, s.
pub(crate) fn time(from_s: i64, to_s: i64) -> Axis {
    Axis {
        from: from_s as f64,
        to: to_s as f64,
        from_px: LEFT,
        to_px: RIGHT,
    }
}

/// A day's beginning at `x`, from the words above `head` down to `bottom`.
pub(crate) fn day_begins(
    svg: &mut Svg,
    subject: &Subject,
    day: i64,
    x: f64,
    head: f64,
    bottom: f64,
) {
    svg.line("grid", x, head - 4.0, x, bottom);
    svg.text(
        "small",
        Anchor::Start,
        x + 3.0,
        12.0,
        &format!("D{:02} {}", day + 1, subject.time.weekday(day)),
    );
}
