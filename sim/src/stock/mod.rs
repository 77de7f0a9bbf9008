//! How much gas: whole jobs under drawn inputs, what they drew, what must be held in reserve, what to
//! load, and a forecast from today.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod gases;
mod replicate;
pub mod supply;

pub use gases::*;
pub use replicate::*;
