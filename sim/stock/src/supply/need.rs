//! What is needed of a gas, and under what pressure a bank of it stops being of use.

use crate::Gas;
use deepstay_core::gas::Amounts;
use deepstay_core::units::MSW_PA;
use deepstay_sums::sealed_gauge;

/// What is needed of a gas.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// The gas as it is ordered.
    pub gas: Gas,
    /// What it is, fractions.
    pub mix: Amounts,
    /// What the job draws, mol: the quantile of the demand that the caller chose.
    pub demand_mol: f64,
    /// What must stand beside it by the minimum-stock rules, mol.
    pub reserve_mol: f64,
    /// Deepest depth at which it must still be delivered, msw; of on-board gas the working depth.
    pub deepest_msw: f64,
    /// Pressure over the bottom that the line wants, Pa.
    pub over_bottom_pa: f64,
    /// What the regulator must have across it, Pa.
    pub regulator_pa: f64,
    /// Pressure at the surface, Pa absolute.
    pub surface_pa: f64,
    /// Temperature at which its banks stand, K.
    pub bank_t_k: f64,
    /// What the figures rest on, for the reader.
    pub note: String,
}

impl Need {
    /// Demand and reserve, mol; nothing where a figure is none.
    pub fn needed_mol(&self) -> f64 {
        let needed = self.demand_mol.max(0.0) + self.reserve_mol.max(0.0);
        if needed.is_finite() { needed } else { 0.0 }
    }

    /// Gauge pressure under which a bank is of no more use, Pa: depth, pressure over the bottom and the
    /// regulator's. US Navy Diving Manual, 15-8, reckons the first two (0.445 psi a foot, 185 psi over
    /// the bottom); published school exercises allow 10 bar for a regulator.
    pub fn heel_gauge_pa(&self) -> f64 {
        let over_pa = self.over_bottom_pa + self.regulator_pa;
        sealed_gauge(over_pa, self.deepest_msw * MSW_PA)
    }
}
