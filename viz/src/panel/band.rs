//! The limits in force of a reading, and the band between them with a mark where the reading is.

use super::Board;
use super::theme::Pen;
use crate::drawing::Ink;
use bevy_egui::egui::{Rect, pos2, vec2};
use deepstay::record::{Aspect, Bound};
use deepstay::units::Quantity;

/// The limits in force of a reading, the nearest to each other: low and high, where there are any.
pub fn limits(board: &Board, quantity: Quantity) -> (Option<f64>, Option<f64>) {
    let mine = board.seen.limits.iter().filter(|(name, value)| {
        name.compartment == board.set.vessel
            && name.quantity == quantity
            && name.aspect == Aspect::Inside
            && value.is_finite()
    });
    let (mut low, mut high) = (None::<f64>, None::<f64>);
    for (name, value) in mine {
        match name.bound {
            Bound::Low => low = Some(low.map_or(*value, |low| low.max(*value))),
            Bound::High => high = Some(high.map_or(*value, |high| high.min(*value))),
        }
    }
    (low, high)
}

/// A band between limits with a mark where the reading is; nothing where there is no limit.
pub fn band(pen: &Pen, board: &Board, quantity: Quantity, value: Option<f64>, rect: Rect) {
    let (low, high) = limits(board, quantity);
    let (from, to) = match (low, high) {
        (None, None) => return,
        (Some(low), Some(high)) => {
            let room = 0.5 * (high - low).max(1e-9);
            (low - room, high + room)
        }
        (None, Some(high)) => (0.0, 1.4 * high),
        (Some(low), None) => (0.6 * low, 1.4 * low),
    };
    let share = |v: f64| ((v - from) / (to - from).max(1e-12)).clamp(0.0, 1.0) as f32;
    let x = |v: f64| rect.left() + share(v) * rect.width();
    pen.fill(rect, Ink::Oxygen);
    let inside = Rect::from_min_max(
        pos2(low.map_or(rect.left(), x), rect.top()),
        pos2(high.map_or(rect.right(), x), rect.bottom()),
    );
    pen.fill(inside, Ink::Ghost);
    pen.frame(rect, Ink::Wall);
    if let Some(value) = value {
        let mark = Rect::from_center_size(pos2(x(value), rect.center().y), vec2(3.0, 18.0));
        pen.fill(mark, Ink::Line);
    }
}
