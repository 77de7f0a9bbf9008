//! One row of the life-support log.

use crate::units::*;

/// Whose word a logged value is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Teller {
    /// The first instrument.
    Primary,
    /// The instrument beside it.
    Secondary,
    /// The plant itself.
    Truth,
}

/// One row of the log: a compartment at a log row.
#[derive(Clone, Debug, PartialEq)]
pub struct LogRow {
    /// When, s.
    pub at: i64,
    /// Where.
    pub compartment: CompartmentId,
    /// Which log row of the run, counted from 0.
    pub period: usize,
    /// Depth it is meant to have, msw.
    pub target_msw: Option<f64>,
    /// Divers in it.
    pub divers: Option<u8>,
    /// Whether its scrubber fan runs, and hours on its absorbent.
    pub scrubber: Option<(bool, f64)>,
    /// Oxygen added from banks since the row before, mol.
    pub o2_added_mol: f64,
    /// How often the oxygen valve was opened since the row before.
    pub o2_openings: u32,
    /// Other gas added from banks since the row before, mol.
    pub gas_added_mol: f64,
    /// The bank it last came from.
    pub gas_bank: Option<BankId>,
    /// Gas bled or exhausted by the watch since the row before, mol.
    pub bled_mol: f64,
    /// Toilet and drain flushes since the row before.
    pub flushes: u32,
    /// Showers since the row before.
    pub showers: u32,
    /// Most divers on masks at once since the row before.
    pub on_bibs: u8,
    values: [[f64; 3]; 6],
}

impl LogRow {
    /// A logged value in the unit of its quantity; none if it was not logged.
    pub fn value(&self, quantity: Quantity, teller: Teller) -> Option<f64> {
        let value = self.values[slot(quantity)?][teller as usize];
        (!value.is_nan()).then_some(value)
    }

    /// What the watch has before it: the first instrument, or the second where the first is silent.
    pub fn shown(&self, quantity: Quantity) -> Option<f64> {
        self.value(quantity, Teller::Primary)
            .or_else(|| self.value(quantity, Teller::Secondary))
    }

    pub(super) fn set(&mut self, quantity: Quantity, teller: Teller, value: f64) {
        if let Some(slot) = slot(quantity) {
            self.values[slot][teller as usize] = value;
        }
    }

    pub(super) fn new(compartment: CompartmentId) -> LogRow {
        LogRow {
            at: 0,
            compartment,
            period: 0,
            target_msw: None,
            divers: None,
            scrubber: None,
            o2_added_mol: 0.0,
            o2_openings: 0,
            gas_added_mol: 0.0,
            gas_bank: None,
            bled_mol: 0.0,
            flushes: 0,
            showers: 0,
            on_bibs: 0,
            values: [[f64::NAN; 3]; 6],
        }
    }
}

fn slot(quantity: Quantity) -> Option<usize> {
    match quantity {
        Quantity::Depth => Some(0),
        Quantity::PpO2 => Some(1),
        Quantity::FO2 => Some(2),
        Quantity::PpCo2 => Some(3),
        Quantity::Temperature => Some(4),
        Quantity::Humidity => Some(5),
        Quantity::GaugePressure | Quantity::SeaDepth => None,
    }
}
