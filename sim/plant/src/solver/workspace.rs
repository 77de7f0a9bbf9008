//! The room a step is taken in: what it starts from, and states, rates and residuals at its points. One
//! serves for any number of steps, so that nothing is allocated in the loop.

use super::correction::{Correction, Start};
use super::jacobian::Jacobian;
use super::radau::{A, Points, dot};

/// Values at the start and at the points, by balance: those of the Jacobian's blocks, then integrals.
#[derive(Clone, Debug, Default)]
pub(crate) struct Workspace {
    pub(super) start: Vec<Start>,
    /// Rates at the points of the step before, and its length, s.
    pub(super) before: Vec<Points>,
    pub(super) before_s: Option<f64>,
    pub(super) states: Vec<Points>,
    pub(super) rates: Vec<Points>,
    pub(super) free: Vec<Points>,
    residual: Vec<Points>,
    pub(super) jacobian: Jacobian,
}

impl Workspace {
    /// Makes room for balances in blocks of these sizes and for integrals after them.
    pub fn lay_out(&mut self, blocks: impl IntoIterator<Item = usize>, integrals: usize) {
        self.jacobian.lay_out(blocks);
        let balances = self.jacobian.balances();
        let all = balances + integrals;
        self.start.resize(all, Start::default());
        for list in [
            &mut self.before,
            &mut self.states,
            &mut self.rates,
            &mut self.free,
        ] {
            list.resize(all, [0.0; 3]);
        }
        self.residual.resize(balances, [0.0; 3]);
        self.before_s = None;
    }

    /// Takes a balance at the start.
    #[inline]
    pub fn start(&mut self, k: usize, from: Start) {
        self.start[k] = from;
    }

    /// The length of the step that goes before this one, s, if one does; its rates follow.
    pub fn goes_on_from(&mut self, length_s: Option<f64>) {
        self.before_s = length_s;
    }

    /// Rates of a balance at the points of the step before.
    #[inline]
    pub fn rates_before(&mut self, k: usize, rates: Points) {
        self.before[k] = rates;
    }

    /// States and equations, to be corrected.
    pub(super) fn correction(&mut self) -> Correction<'_> {
        Correction {
            states: &mut self.states,
            residual: &mut self.residual,
            jacobian: &mut self.jacobian,
            start: &self.start,
        }
    }

    /// Corrects the states by what their rates leave over; gives the greatest relative change.
    pub(super) fn correct(&mut self, h_s: f64) -> f64 {
        let balances = self.residual.len();
        let lists = self.start.iter().zip(&self.rates).zip(&self.states);
        for (residual, ((start, rates), state)) in self.residual.iter_mut().zip(lists) {
            let there = reached(start.value, h_s, rates);
            *residual = std::array::from_fn(|j| there[j] - state[j]);
        }
        for k in balances..self.start.len() {
            self.states[k] = reached(self.start[k].value, h_s, &self.rates[k]);
        }
        self.correction().apply()
    }
}

/// Where rates lead from a value by the times of the points.
#[inline]
pub(super) fn reached(value: f64, h_s: f64, rates: &Points) -> Points {
    std::array::from_fn(|j| value + h_s * dot(&A[j], rates))
}
