//! The errors that a job's instruments have from its first second on, drawn within their accuracy from the seed's own
//! stream.

use super::random::{Source, Streams};
use deepstay_core::units::{InstrumentId, Quantity};
use deepstay_plant::Plant;
use deepstay_scenario::{Chance, Scenario};

/// Time over which an analyser drifts by half its accuracy at the most, s: a day (house rule). Gauges and
/// thermometers keep the error they have.
const DRIFT_TO_ACCURACY_S: f64 = 86_400.0;

/// Errors of an instrument, and how they drift.
#[derive(Clone, Copy, Debug)]
pub(super) struct Errors {
    span: f64,
    zero: f64,
    span_drift_per_s: f64,
    zero_drift_per_s: f64,
}

impl Errors {
    /// The instrument has them.
    pub fn put_on(&self, id: InstrumentId, plant: &mut Plant) {
        plant.set_errors(
            id,
            self.span,
            self.zero,
            self.span_drift_per_s,
            self.zero_drift_per_s,
        );
    }

    /// As they are of an instrument that was set against its standard at the first second: it drifts from then on.
    pub fn set_by_standard(self) -> Errors {
        Errors {
            span: 0.0,
            zero: 0.0,
            ..self
        }
    }

    /// The true value behind what the instrument shows at first.
    pub fn behind(&self, shown: f64) -> f64 {
        (shown - self.zero) / (1.0 + self.span)
    }
}

/// The errors of every instrument of a scenario.
pub(super) fn errors_of(scenario: &Scenario) -> Vec<(InstrumentId, Errors)> {
    let streams = Streams::new(scenario.seed_of(Chance::Instruments));
    let mut draw = streams.stream(Source::Instruments);
    let mut errors = Vec::new();
    for (id, instrument) in (0u16..).zip(&scenario.steel.instruments) {
        let zero = draw.between(-0.5, 0.5) * instrument.accuracy;
        let drifts = matches!(instrument.quantity, Quantity::PpO2 | Quantity::PpCo2);
        let drift = draw.between(-0.5, 0.5) * instrument.accuracy / DRIFT_TO_ACCURACY_S;
        let drift = if drifts { drift } else { 0.0 };
        let of = Errors {
            span: instrument.span,
            zero: instrument.zero + zero,
            span_drift_per_s: instrument.span_drift_per_s,
            zero_drift_per_s: instrument.zero_drift_per_s + drift,
        };
        errors.push((InstrumentId(id), of));
    }
    errors
}
