//! What is asked of whatever is to be stepped.

use super::correction::Correction;
use super::jacobian::Jacobian;
use super::radau::{POINTS, Points};

/// A step: where it starts and how long it is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    /// Start, s.
    pub t_s: f64,
    /// Length, s.
    pub h_s: f64,
}

impl Step {
    /// Time of a collocation point, s.
    #[inline]
    pub fn time_s(&self, point: usize) -> f64 {
        self.t_s + self.h_s * POINTS[point]
    }
}

/// The state about which the answer to a change is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum About {
    /// The state at the start.
    Start,
    /// The state at a collocation point, as the rates were last found there.
    Point(usize),
}

/// A state that cannot be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Impossible;

/// Balances to be stepped. They are numbered; those after the Jacobian's are integrals, on which the rates may hang
/// but whose own answer is left out of the Jacobian and of the error.
pub(crate) trait Problem {
    /// Finds the rates of all balances at the collocation points of a step, in the states there.
    fn rates(
        &mut self,
        step: Step,
        states: &[Points],
        rates: &mut [Points],
    ) -> Result<(), Impossible>;

    /// Finds the rates once more in the states that the step has come to, and, in `free`, without what a constraint
    /// adds: by those the error is judged. They may go by shares found in the last round.
    fn last_rates(
        &mut self,
        step: Step,
        states: &[Points],
        rates: &mut [Points],
        free: &mut [Points],
    ) -> Result<(), Impossible> {
        self.rates(step, states, rates)?;
        free.copy_from_slice(rates);
        Ok(())
    }

    /// Gives the Jacobian its matrices for a step.
    fn linearise(&mut self, step: Step, about: About, jacobian: &mut Jacobian);

    /// Predicts what a constraint will add: by the parabola of the step before (each row gives a point's rate from
    /// three), or from nothing where there was none.
    fn predict_constraint(&mut self, _step: Step, _rows: Option<&[[f64; 3]; 3]>) {}

    /// Brings the states nearer to a constraint; gives the greatest relative change, or how far off it was.
    fn constrain(&mut self, _step: Step, _correction: &mut Correction) -> f64 {
        0.0
    }
}
