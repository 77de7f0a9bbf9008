//! The states at the points of a step, and the linear equations by which they are corrected.

use super::jacobian::Jacobian;
use super::radau::Points;

/// A balance at the start of a step.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Start {
    /// Its value.
    pub value: f64,
    /// Its rate without a constraint, 1/s.
    pub rate: f64,
    /// What its changes are measured by.
    pub scale: f64,
    /// What its error is measured by; infinite where it is not judged.
    pub error_scale: f64,
}

/// The states at the points, and the linear equations by which they are corrected.
pub(crate) struct Correction<'a> {
    /// States at the points, by balance.
    pub states: &'a mut [Points],
    /// What the balances leave over there, to be put in before [`Correction::apply`].
    pub residual: &'a mut [Points],
    pub(super) jacobian: &'a mut Jacobian,
    pub(super) start: &'a [Start],
}

impl Correction<'_> {
    /// Nothing is left over.
    pub fn clear(&mut self) {
        self.residual.fill([0.0; 3]);
    }

    /// Changes the states by what the linear equations make of the residual, which then is that change; gives the
    /// greatest relative change.
    pub fn apply(&mut self) -> f64 {
        self.jacobian.solve_all(self.residual);
        let mut most = 0.0f64;
        let lists = self.states.iter_mut().zip(&*self.residual);
        for ((state, change), start) in lists.zip(self.start) {
            for (x, by) in state.iter_mut().zip(change) {
                *x += by;
            }
            let change = change[0].abs().max(change[1].abs()).max(change[2].abs());
            most = most.max(change / start.scale);
        }
        most
    }
}
