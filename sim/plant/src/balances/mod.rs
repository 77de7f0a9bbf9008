//! The balances of a cluster as a problem for the solver: moles of each species, heat of gas and wall, and
//! what canisters take, from the flows in each compartment and what passes between them.
//!
//! `room` is where a step is worked out, `open` what it starts from, `problem` rates and constraint,
//! `jacobian` how the balances answer, `keep` what is left behind for the trajectories.

pub(crate) mod incoming;
pub(crate) mod jacobian;
pub(crate) mod keep;
pub(crate) mod open;
pub(crate) mod problem;
pub(crate) mod room;
