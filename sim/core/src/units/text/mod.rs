//! Quantities as a person writes them in a file or on the command line: a number and a unit, as
//! text, strict.
//!
//! One scheme for all: each kind of quantity is a type here that holds one SI number in its only
//! field, is read by `FromStr` and by serde from a string (so a reader of files reports the place of
//! the text), is written back by `Display` and serde as a string that reads back to the same value,
//! and describes itself in a JSON Schema. The target type decides what a unit means: `"200 bar"` is
//! absolute for [`Absolute`] and above the surroundings for [`Gauge`].
//!
//! ```
//! use deepstay_core::units::text::{Bottles, Depth, Duration};
//!
//! assert_eq!("118 msw".parse::<Depth>().unwrap().0, 118.0);
//! assert_eq!("2d 06:30".parse::<Duration>().unwrap().0, 196_200);
//! assert_eq!("64 x 50 L at 200 bar".parse::<Bottles>().unwrap().count, 64);
//! let complaint = "118 mws".parse::<Depth>().unwrap_err().to_string();
//! assert!(complaint.contains("did you mean \"msw\"?"));
//! ```

mod bottles;
mod changed;
mod error;
mod kinds;
mod number;
pub(in crate::units) mod tables;
mod time;
mod written;

#[cfg(test)]
mod tests;

pub use bottles::Bottles;
pub use changed::{number_and_unit, quantity};
pub use error::TextError;
pub use kinds::*;
pub use time::{ClockTime, Duration, TimeOfDay};
pub use written::{Plain, Written};

/// The kinds of quantities, for tables that keep them as they are written ([`Written`]), and for whoever reads one by
/// its kind.
pub mod kinds_of {
    pub use super::tables::{
        ABSOLUTE, ACTUAL_FLOW, CAPACITY, DEPTH, DEPTH_RATE, FLOW, FREE_FLOW, FREE_VOLUME, GAUGE,
        KINDS, Kind, LENGTH, MASS, PARTIAL, SHARE, TEMPERATURE, TEMPERATURE_SPAN, TIME, VOLUME,
    };
}
