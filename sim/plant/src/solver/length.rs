//! How long the next step may be, by how the last one went.

use super::newton::Stopped;

/// A step is made this much shorter than would just do, and grows and shrinks by no more than these at once.
const MARGIN: f64 = 0.9;
const MOST_GROWTH: f64 = 4.0;
const MOST_SHRINKING: f64 = 0.15;
/// Where the rounds do not settle, a step is made shorter by this.
const UNSETTLED: f64 = 0.3;
/// A step that is taken again is at most this long, as a share of itself.
const SHORTER: f64 = 0.9;

/// How much longer the next step may be, by the error of this one. The error goes with the fourth power of the length.
pub(crate) fn growth(error: f64) -> f64 {
    (MARGIN / error.max(1e-12).sqrt().sqrt()).clamp(MOST_SHRINKING, MOST_GROWTH)
}

/// What to make of a step's length where it must be taken again.
pub(crate) fn shrinking(outcome: Result<f64, Stopped>) -> f64 {
    outcome.map_or(UNSETTLED, growth).min(SHORTER)
}
