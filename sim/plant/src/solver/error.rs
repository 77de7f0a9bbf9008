//! How far off a step may be: by how much the rate at its start lies off the parabola through the rates at
//! its points.

use super::radau::{AT_START, DECAY_DEFECT, ERROR_CONSTANT, dot};
use super::workspace::Workspace;

/// How far off inside a step balances may be, as a share of what they are measured by.
pub(crate) const TOLERANCE: f64 = 1e-7;

/// The error of a step that has come to its end, in units of [`TOLERANCE`].
pub(super) fn estimate(w: &Workspace, h_s: f64) -> f64 {
    let by = ERROR_CONSTANT * h_s / TOLERANCE;
    let mut most = 0.0f64;
    for (start, points) in w.start.iter().zip(&w.free) {
        most = most.max((start.rate - dot(&AT_START, points)).abs() / start.error_scale);
    }
    most * by
}

/// One over the longest step that follows a rate finely enough if it dies away by its own share a second: the error
/// of such a step is known.
pub(crate) fn decay_limit_s(rate: f64, decay_s: f64, scale: f64) -> f64 {
    let error = rate.abs() * decay_s * decay_s * decay_s * ERROR_CONSTANT * DECAY_DEFECT
        / (scale * TOLERANCE);
    error.sqrt().sqrt()
}
