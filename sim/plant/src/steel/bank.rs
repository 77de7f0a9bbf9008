//! Banks of bottles, the loop that brings divers' gas back, and what puts chamber gas back into banks.

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

/// The loop that brings divers' gas back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reclaim {
    /// Its volume tank, from which divers are fed. Make-up comes by its supply valve, a trickle of oxygen by its
    /// oxygen valve where it has one, and its scrubber is the absorbent that all that comes back goes through.
    pub tank: CompartmentId,
    /// Share of the exhaled gas that comes back.
    pub recovery: f64,
    /// Pressure that make-up holds in the tank, Pa gauge.
    pub working_gauge_pa: f64,
    /// What it is charged with at the start, fractions.
    pub charge: Amounts,
    /// Bank for open circuit, which the loop never draws from.
    pub open_circuit: BankId,
    /// Bank that the oxygen trickle is fed from; none where the make-up mix brings the oxygen.
    pub trickle: Option<BankId>,
    /// Set points of the alarms on what it supplies.
    pub alarms: LoopAlarms,
}

/// Set points of the alarms on what a loop supplies, Pa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoopAlarms {
    /// Least oxygen.
    pub low_o2_pa: f64,
    /// Most oxygen.
    pub high_o2_pa: f64,
    /// Most carbon dioxide.
    pub co2_pa: f64,
    /// Least pressure in the tank, gauge.
    pub least_gauge_pa: f64,
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
    /// Whether trunk, bell and locks are let out through it too.
    pub trunk_and_locks: bool,
}
