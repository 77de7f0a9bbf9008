//! Keeps time: runs plant, crew and the automatic stations through events, weather and faults, and emits entries.
//!
//! [`Job::advance_to`] is the only way time passes. Decisions and crossings fall on whole seconds;
//! scenario, seed and the acts from outside, each with its second and station, make the same job again
//! ([`Job::replay`]), bit for bit: [`Job::state_hash`] is then the same, at every second.

mod breath;
mod calls;
mod camera;
mod clock;
pub mod course;
mod deeds;
pub mod effects;
mod ended;
mod errors;
mod faults;
mod fingerprint;
mod handles;
mod indicated;
mod limits;
mod log_rows;
mod outside;
mod page;
mod panel;
mod people;
mod planner;
mod present;
pub mod random;
mod rule_rows;
mod save;
pub mod sea;
mod showers;
pub mod stations;
mod taken_up;
pub mod weather;

pub use calls::{OpenRequest, belongs_to};
pub use camera::BLIND_SHARE;
pub use clock::{Finished, Harm, Job, Options};
pub use deepstay_core::record::Sitter;
pub use ended::{Ended, Halt};
pub use fingerprint::fingerprint;
pub use indicated::{BankPlate, DiverHeard, DoorLamp, Indicated, RegulatorPlate, Shown, Vessel};
pub use limits::{AlarmNow, SHELVED_MOST_S};
pub use outside::{Act, OutsideAct};
pub use page::page;
pub use planner::{KeepPlan, Planner, RunStands, Standing};
pub use save::RestoreError;
pub use taken_up::TakenUp;
