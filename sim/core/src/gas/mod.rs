//! Species, mixtures, real-gas state, transport properties, flow through an opening.

mod heat;
mod species;
mod virial;

pub mod flow;
pub mod state;
pub mod transport;
pub mod water;

pub use species::*;
