//! Gauges and analysers, as they were made and connected.

use deepstay_core::units::*;

/// What an instrument is connected to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum SamplePoint {
    /// A compartment's gas or pressure.
    Compartment(CompartmentId),
    /// A bank's gauge.
    Bank(BankId),
    /// The sea at a bell.
    Sea(CompartmentId),
}

/// A gauge or analyser.
#[derive(Clone, Debug, PartialEq)]
pub struct Instrument {
    /// Tag as on the panel.
    pub name: String,
    /// What it measures.
    pub quantity: Quantity,
    /// What the panel says it is connected to.
    pub labelled: SamplePoint,
    /// What it is really connected to.
    pub connected: SamplePoint,
    /// First or second instrument for the quantity.
    pub channel: Channel,
    /// First-order lag, s.
    pub lag_s: f64,
    /// Sample line: inside volume, m3 (zero for a gauge).
    pub line_m3: f64,
    /// Sample flow for the delay, mol/s.
    pub line_mol_s: f64,
    /// Whether the pressure is let down at the penetrator (short delay) or at the panel (long).
    pub let_down_at_penetrator: bool,
    /// Span error at the start, relative.
    pub span: f64,
    /// Zero error at the start, in the quantity's unit.
    pub zero: f64,
    /// Span drift, relative per second.
    pub span_drift_per_s: f64,
    /// Zero drift, unit per second.
    pub zero_drift_per_s: f64,
    /// How far it may be off, in the quantity's unit: its errors at the start and its drift are drawn
    /// within this.
    pub accuracy: f64,
    /// Smallest step shown, in the quantity's unit; zero shows all digits.
    pub resolution: f64,
    /// Highest value it can show, in the quantity's unit.
    pub ceiling: f64,
}
