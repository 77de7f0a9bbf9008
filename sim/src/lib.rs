//! Deepstay computes a whole saturation-diving job before anyone is sealed in: chamber pressure,
//! oxygen, carbon dioxide, heat, humidity, every bank of gas, the bell runs and the decompression.
//!
//! For planning, rehearsal and training. It prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.
//!
//! Each room may use the rooms above it in this list, never one below it.

pub use deepstay_core::{fault, gas, order, record, units};
pub use deepstay_crew as crew;
pub use deepstay_job as job;
pub use deepstay_job::stations;
pub use deepstay_plant as plant;
#[cfg(feature = "report")]
pub use deepstay_report as report;
pub use deepstay_rota as rota;
pub use deepstay_rules as rules;
pub use deepstay_scenario as scenario;
#[cfg(feature = "study")]
pub use deepstay_stock as stock;

#[cfg(feature = "command")]
pub mod command;
