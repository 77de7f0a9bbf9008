//! The room a step is taken in: what it starts from, and states, rates and residuals at its points. One
//! serves for any number of steps, so that nothing is allocated in the loop.

use super::jacobian::Jacobian;
use super::problem::Correction;
use super::radau::{A, Points, dot};

/// A balance at the start of a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Start {
    /// Its value.
    pub value: f64,
    /// Its rate without a constraint, 1/s.
    pub rate: f64,
    /// What its changes are measured by.
    pub scale: f64,
    /// Whether the error is judged by it.
    pub judged: bool,
}

/// Values at the start and at the points, by balance: those of the Jacobian's blocks, then integrals.
#[derive(Clone, Debug, Default)]
pub(crate) struct Workspace {
    pub(super) start: Vec<f64>,
    pub(super) start_rates: Vec<f64>,
    pub(super) scale: Vec<f64>,
    pub(super) error_scale: Vec<f64>,
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
        for list in [&mut self.start, &mut self.start_rates] {
            list.resize(all, 0.0);
        }
        for list in [&mut self.scale, &mut self.error_scale] {
            list.resize(balances, 0.0);
        }
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
    pub fn start(&mut self, k: usize, from: Start) {
        self.start[k] = from.value;
        self.start_rates[k] = from.rate;
        if k < self.scale.len() {
            self.scale[k] = from.scale;
            self.error_scale[k] = if from.judged {
                from.scale
            } else {
                f64::INFINITY
            };
        }
    }

    /// A step goes before this one, of a length, s; its rates follow.
    pub fn goes_on_from(&mut self, length_s: f64) {
        self.before_s = Some(length_s);
    }

    /// Rates of a balance at the points of the step before.
    pub fn rates_before(&mut self, k: usize, rates: Points) {
        self.before[k] = rates;
    }

    /// Rates of a balance at the points, as last found.
    #[cfg(test)]
    pub fn rates(&self, k: usize) -> Points {
        self.rates[k]
    }

    /// States and equations, to be corrected.
    pub(super) fn correction(&mut self) -> Correction<'_> {
        Correction {
            states: &mut self.states,
            residual: &mut self.residual,
            jacobian: &mut self.jacobian,
            scale: &self.scale,
        }
    }

    /// Corrects the states by what their rates leave over; gives the greatest relative change.
    pub(super) fn correct(&mut self, h_s: f64) -> f64 {
        let balances = self.residual.len();
        for k in 0..balances {
            let (start, rates, state) = (self.start[k], &self.rates[k], &self.states[k]);
            self.residual[k] = std::array::from_fn(|j| start + h_s * dot(&A[j], rates) - state[j]);
        }
        for k in balances..self.start.len() {
            self.follow(k, h_s);
        }
        self.correction().apply()
    }

    /// Puts a balance where its rates lead.
    pub(super) fn follow(&mut self, k: usize, h_s: f64) {
        let (start, rates) = (self.start[k], &self.rates[k]);
        self.states[k] = std::array::from_fn(|j| start + h_s * dot(&A[j], rates));
    }
}
