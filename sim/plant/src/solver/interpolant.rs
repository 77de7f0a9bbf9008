//! Dense output: the state between the start of a step and its end, from the rates at its points.

use super::radau::{Points, dot, weights};

/// What each point's rate counts for at a time within a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Weights(pub Points);

impl Weights {
    /// At a share of a step's length, s.
    #[inline]
    pub fn at(h_s: f64, share: f64) -> Weights {
        Weights(weights(h_s, share))
    }

    /// What rates at the points have added.
    #[inline]
    pub fn added(&self, rates: &Points) -> f64 {
        dot(&self.0, rates)
    }

    /// Time since the start, s.
    #[inline]
    pub fn time_s(&self) -> f64 {
        self.0[0] + self.0[1] + self.0[2]
    }
}
