//! Files in, one validated [`Scenario`] out; every complaint names file, line, column, path and a
//! suggestion.

mod plan;

pub use plan::*;
