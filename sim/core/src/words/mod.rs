//! Words of the trade for the vocabulary: what quantities, purposes, phases and refusals are called, how
//! places, valves and alarms are named once names are known, and what an act is in the words of a log.

mod acts;
mod names;
mod terms;

pub use acts::{beside, calibration, numbered, remark};
pub use names::{Names, limit_unit, limit_words, limited};
pub use terms::{Words, formula};
