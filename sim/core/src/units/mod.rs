//! What a number means: ids of things on board, and pressures, depths, amounts and times that
//! cannot be mistaken for one another.
//!
//! Inside the physics plain `f64` in SI is used, with the unit in the name (`p_pa`, `n_mol`); the
//! types here stand wherever a number enters, leaves or is compared with a limit.

mod names;
mod quantity;
mod scale;
mod vessel_time;

pub mod text;
pub mod working;

pub use names::*;
pub use quantity::*;
pub use scale::*;
pub use text::tables::{FOOT_M, FT3_M3, POUND_KG, PSI_PA};
pub use vessel_time::*;
