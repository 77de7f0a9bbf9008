//! Species, mixtures, real-gas state, transport properties, flow through an opening.

mod species;

pub use species::*;
