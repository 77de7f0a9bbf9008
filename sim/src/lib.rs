//! Deepstay computes a whole saturation-diving job before anyone is sealed in: chamber pressure,
//! oxygen, carbon dioxide, heat, humidity, every bank of gas, the bell runs and the decompression.
//!
//! For planning, rehearsal and training. It prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.
//!
//! Each room may use the rooms above it in this list, never one below it.

pub mod command;
pub mod crew;
pub mod gas;
pub mod job;
pub mod plant;
pub mod record;
pub mod report;
pub mod rota;
pub mod rules;
pub mod scenario;
pub mod stock;
pub mod units;
pub mod watch;
