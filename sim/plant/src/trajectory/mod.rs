//! How every compartment's gas goes from its anchor on: clusters of compartments that exchange gas, the
//! interpolant of each over an interval, and what has moved by any second of it.

pub(crate) mod cluster;
pub(crate) mod evaluated;
pub(crate) mod interpolant;
pub(crate) mod pending;
pub(crate) mod trajectories;
