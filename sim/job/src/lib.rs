//! Keeps time: runs plant, crew and watch through events, weather and faults, and emits entries.
//!
//! [`Job::advance_to`] is the only way time passes. Decisions and crossings fall on whole seconds;
//! scenario, seed and the list of (time, order) make the same job again, bit for bit.

mod faults;
mod limits;
mod logrow;
mod panel;
mod people;
pub mod random;
mod run;
mod save;
pub mod sea;
mod showers;
pub mod stations;
pub mod weather;

pub use limits::InForce;
pub use run::{Ended, Job, Options};
pub use save::RestoreError;
