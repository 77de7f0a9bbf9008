//! Banks of bottles, and what puts gas back into them.

use deepstay_core::gas::Amounts;
use deepstay_core::units::*;

/// A bank of bottles drawn as one.
#[derive(Clone, Debug, PartialEq)]
pub struct Bank {
    /// Name as painted.
    pub name: String,
    /// Duty on the label.
    pub duty: Duty,
    /// Floodable volume of all bottles, m3.
    pub volume_m3: f64,
    /// Gauge pressure at the start, Pa, at `t_k`.
    pub fill_gauge_pa: f64,
    /// Temperature of the bottles, K.
    pub t_k: f64,
    /// What is truly in it, fractions.
    pub true_mix: Amounts,
    /// Oxygen fraction on the label.
    pub label_o2: f64,
    /// Oxygen fraction of the last analysis, none if never analysed.
    pub analysed_o2: Option<f64>,
}

/// Diver-gas reclaim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reclaim {
    /// Bank the recovered gas goes back to.
    pub bank: BankId,
    /// Share of the exhaled gas that comes back.
    pub recovery: f64,
}

/// Chamber gas recovery.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Recovery {
    /// Bank the recovered gas goes to.
    pub bank: BankId,
    /// Share of the exhaust that is recovered while it runs.
    pub recovered: f64,
    /// Lowest chamber gauge pressure at which the pump can draw, Pa.
    pub lowest_gauge_pa: f64,
}
