//! What goes wrong, and when.

use super::{MixFile, Number};
use deepstay_core::units::text::{Bore, Duration, Share};
use deepstay_core::units::{Channel, Quantity};
use serde::Deserialize;

/// The faults of a job.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FaultsFile {
    /// Version of the grammar, where this is a file of its own.
    #[serde(default)]
    pub format: Option<u32>,
    /// The faults, in order of time.
    pub planned: Vec<FaultFile>,
}

/// A fault.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FaultFile {
    /// When it comes, from the start of the job.
    pub at: Duration,
    /// When it is put right; never where not given.
    #[serde(default)]
    pub until: Option<Duration>,
    /// What.
    pub what: FaultWhat,
}

/// What goes wrong.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum FaultWhat {
    /// A hole in a compartment.
    Leak {
        /// Where.
        compartment: String,
        /// Diameter of the hole.
        bore: Bore,
        /// Discharge coefficient.
        #[serde(default = "sharp")]
        discharge: Number,
        /// It is a penetrator that failed, and has a hull stop that an outside hand can shut.
        #[serde(default)]
        hull_stop: bool,
    },
    /// The scrubber fan of a compartment stops.
    FanStop(String),
    /// The climate unit of a compartment stops.
    ClimateStop(String),
    /// Diver-gas reclaim stops: what divers breathe out goes to the sea.
    ReclaimStop,
    /// A valve stays where it is said to be.
    StuckValve {
        /// Which.
        valve: ValveFile,
        /// Where it stays: "0 %" is shut.
        opening: Share,
    },
    /// A bank was filled with something else than its label says, before the job.
    WrongContents {
        /// Which bank.
        bank: String,
        /// What is truly in it.
        contents: MixFile,
    },
    /// An instrument drifts.
    Drift {
        /// Which.
        instrument: InstrumentFile,
        /// Relative error that grows over `over`: 0.25 reads a quarter too high in the end.
        #[serde(default = "none")]
        span: Number,
        /// Error that grows over `over`, in the unit shown (msw, bar, K, or a share for humidity).
        #[serde(default = "none")]
        zero: Number,
        /// Over which time.
        over: Duration,
    },
    /// An instrument keeps showing its last value.
    Frozen {
        /// Which.
        instrument: InstrumentFile,
    },
    /// An instrument is connected to another compartment than its label says.
    CrossConnected {
        /// Which.
        instrument: InstrumentFile,
        /// What it really reads.
        to: String,
    },
}

/// An instrument, by what it is labelled for.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct InstrumentFile {
    /// Compartment or bank on its label.
    pub of: String,
    /// What it shows.
    pub quantity: Quantity,
    /// First or second instrument.
    #[serde(default = "primary")]
    pub channel: Channel,
}

/// A valve.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum ValveFile {
    /// Supply into a compartment.
    BlowDown(String),
    /// Oxygen into a compartment.
    Oxygen(String),
    /// Main exhaust of a compartment.
    Exhaust(String),
    /// Bleed of a compartment.
    Bleed(String),
    /// Drain of a compartment.
    Drain(String),
    /// Equalising valve of a door.
    Equalise(String),
}

fn sharp() -> Number {
    Number(0.8)
}

fn none() -> Number {
    Number(0.0)
}

fn primary() -> Channel {
    Channel::Primary
}
