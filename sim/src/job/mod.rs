//! Keeps time: runs plant, crew and watch through events, weather and faults, and emits entries.

pub mod random;
pub mod sea;
pub mod weather;
