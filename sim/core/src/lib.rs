//! What every room of Deepstay speaks: units and the one reader of quantities, gas, the vocabulary of
//! orders, faults and entries, and what is made of entries (ledger, log, alarms); and the words of the
//! trade for all of it.

pub mod aside;
pub mod digest;
pub mod fault;
pub mod gas;
pub mod order;
pub mod plain;
pub mod record;
mod status;
pub mod units;
pub mod words;

pub use status::Status;

/// What stands wherever limits, schedules, gas or oxygen are shown.
pub const CAUTION: &str = "For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's \
current document, the company's approved manual and the licensed people on the job decide.";
