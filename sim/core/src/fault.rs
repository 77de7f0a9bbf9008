//! What can go wrong with the steel.

use crate::gas::Amounts;
use crate::record::ValveName;
use crate::units::*;
use serde::{Deserialize, Serialize};

/// What goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum FaultKind {
    /// A hole of effective area (discharge coefficient included), m2.
    Leak {
        /// Where.
        compartment: CompartmentId,
        /// Effective area, m2.
        area_m2: f64,
        /// It is a penetrator that failed: a hull stop outside shuts it.
        hull_stop: bool,
    },
    /// The scrubber fan stops.
    FanStop {
        /// Where.
        compartment: CompartmentId,
    },
    /// The climate unit stops.
    ClimateStop {
        /// Where.
        compartment: CompartmentId,
    },
    /// Diver-gas reclaim stops: what divers breathe out goes to the sea.
    ReclaimStop,
    /// A valve stays at an opening whatever is ordered.
    StuckValve {
        /// Which.
        valve: ValveName,
        /// Where it stays, 0 to 1.
        opening: f64,
    },
    /// A bank's contents are not what its label says (from the start of the job or from `at`).
    WrongContents {
        /// Which bank.
        bank: BankId,
        /// True mixture, fractions.
        mix: Amounts,
    },
    /// An analyser or gauge drifts: span and zero errors grow at these rates.
    Drift {
        /// Which instrument.
        instrument: InstrumentId,
        /// Relative per second.
        span_per_s: f64,
        /// Unit of the quantity per second.
        zero_per_s: f64,
    },
    /// An instrument keeps showing its last value.
    Frozen {
        /// Which instrument.
        instrument: InstrumentId,
    },
    /// An instrument is connected to another compartment than its label says.
    CrossConnected {
        /// Which instrument.
        instrument: InstrumentId,
        /// What it really reads.
        to: CompartmentId,
    },
}
