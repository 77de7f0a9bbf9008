//! Files in, one validated [`Scenario`] out; every diagnostic names file, line, column, path and
//! what would be right.
//!
//! A job's file names its parts (spread, rule set, site, crew, stock, plan, faults); each is the name of
//! a built-in one, a path relative to the file, or written in place. Reading is strict and quantities are
//! text with a unit. [`load`] takes a built-in job's name or a path.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod ascent;
mod build;
mod builtin;
mod copy;
mod fault_words;
pub mod file;
mod gauges;
mod law;
pub mod lengths;
mod load;
mod names;
mod offer;
mod plan;
mod present;
mod reach;
#[cfg(feature = "schema")]
mod schema;
mod sources;
mod study;
mod supplier;
mod table;
mod texts;
mod to_sums;
mod warn;
mod weather;
mod work;

pub use ascent::Ascent;
pub use builtin::{
    BuiltIn, DEFAULT_JOB, HARM, JOBS, PRESENTS, SPREADS, SUPPLIERS, VOICES, WEATHER,
};
pub use copy::Kind;
pub use deepstay_read::{
    DEEPEST, Diagnostic, Diagnostics, FORMAT, LARGEST_FILE, Patch, PatchError, Place, To, Wrong,
    bytes_of, file_bytes,
};
pub use file::{GAUGE_ERROR_PA, METER_ERROR};
pub use gauges::present_from_gauges;
pub use law::{Law, LawError, Spreading};
pub use load::{from_text, load, load_under};
pub use offer::*;
pub use plan::*;
pub use present::*;
pub use reach::reached_from;
#[cfg(feature = "schema")]
pub use schema::{SchemaOf, schema};
pub use study::*;
pub use supplier::*;
pub use table::{CsvCell, CsvTable};
pub use texts::{JobTexts, MadeFrom, WrittenInput};
pub use to_sums::{TakenFrom, bank_named, compartment_named, give, give_rules};
pub use warn::{hidden_fills, warnings};
pub use weather::{TableError, chain as chain_from_table};
pub use work::*;

#[cfg(test)]
mod tests;
