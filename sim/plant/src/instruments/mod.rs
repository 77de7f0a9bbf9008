//! Gauges and analysers: each has a lag, a sample-line delay, errors that drift, a resolution, a
//! ceiling, and a place it is really connected to. A reading is evaluated, never stored.
//!
//! The lag is first order along the true value, a cubic over the interval; where a sample line or a rush
//! lies between, along the chord from the anchor to the second asked for. The delay is plug flow through the
//! sample line, at the compartment's pressure or let down at the penetrator.

pub(crate) mod lag;
pub(crate) mod panel;
pub(crate) mod probe;
pub(crate) mod quantity;
