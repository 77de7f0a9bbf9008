//! The steel and what flows in it: orders in, readings out. It knows no diver, only a load per
//! compartment and per breathing path.

mod order;
mod reading;
mod steel;

pub use order::*;
pub use reading::*;
pub use steel::*;
