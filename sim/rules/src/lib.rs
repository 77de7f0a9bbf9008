//! Rule sets as data, each figure with its document, edition, table and status, and the questions
//! asked of them.
//!
//! A set is one RON file. A printed table is used as printed or not at all: past its ends, or where a
//! row was not seen, a question is refused with the row that is missing. Rows from memory may be used
//! only where a job accepts their ids. Every answer names the rows it used.

pub mod after;
mod answers;
mod backwards;
mod based;
mod bleeding;
pub mod bleeding_table;
pub mod breathing;
mod edge;
pub mod excursion;
pub mod gas_minimums;
mod laxer;
pub mod limits;
pub mod living;
mod load;
mod model;
pub mod pressing;
pub mod quantities;
mod refusal;
mod row;
mod row_list;
mod set;
pub mod surface;
mod timetable;
pub mod working;
mod written;

pub use after::{AfterDemand, AfterFigures};
pub use answers::*;
pub use based::{BasedOn, RulePart, Taken, is_path};
pub use breathing::{
    Contaminant, ContaminantFigures, GasDensity, MaskTime, TreatmentFigures, WorkOxygen,
};
pub use deepstay_core::{CAUTION, Status};
pub use gas_minimums::{GasMinimum, InScenario, Topic};
pub use load::{builtin, builtin_file, builtin_names, builtin_text, named};
pub use model::*;
pub use refusal::{Missing, MissingRow, Question, RuleRefusal};
pub use row::{All, Asked, Printed, Provenance, Row};
pub use row_list::RowNumbers;
pub use set::{Feet, NotSeen, RuleSet};
pub use surface::{
    CrewFigures, EvacuationFigures, FireZoneFigures, Manned, Monitored, MonitoringFigures, Post,
    Shown, UmbilicalFigures,
};

#[cfg(test)]
mod tests;
