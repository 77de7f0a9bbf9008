//! Files in, one validated [`Scenario`] out; every complaint names file, line, column, path and a
//! suggestion.
//!
//! A job's file names its parts (spread, rule set, site, crew, stock, plan, faults); each is the name of
//! a built-in one, a path relative to the file, or written in place. Reading is strict and quantities are
//! text with a unit. [`load`] takes a built-in job's name or a path.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod build;
mod builtin;
mod complaint;
mod copy;
mod explain;
mod fault_words;
pub mod file;
mod gauges;
mod law;
pub mod lengths;
mod load;
mod locate;
mod names;
mod offer;
mod overlay;
mod papers;
mod plan;
mod present;
mod read;
#[cfg(feature = "schema")]
mod schema;
mod shelf;
mod study;
mod supplier;
mod table;
mod warn;
mod weather;
mod work;

pub use builtin::{BuiltIn, DEFAULT_JOB, JOBS, SPREADS, SUPPLIERS, WEATHER};
pub use complaint::{BadScenario, Complaint, Place, Wrong};
pub use copy::Kind;
pub use gauges::present_from_gauges;
pub use law::{Law, LawError, Spreading};
pub use load::{from_text, load, load_under};
pub use offer::*;
pub use overlay::{Change, To, Unchanged, number_of, quantity};
pub use papers::Papers;
pub use plan::*;
pub use present::{BankStands, GAUGE_ERROR_PA, METER_ERROR, Present, present, present_from_text};
pub use read::{DEEPEST, FORMAT, LARGEST_FILE};
#[cfg(feature = "schema")]
pub use schema::{SchemaOf, schema};
pub use study::*;
pub use supplier::*;
pub use table::{CsvCell, CsvTable};
pub use warn::warnings;
pub use weather::{TableError, chain as chain_from_table};
pub use work::*;

#[cfg(test)]
mod tests;
