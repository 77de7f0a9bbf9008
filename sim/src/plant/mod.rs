//! The steel and what flows in it: orders in, readings out. It knows no diver, only a load per
//! compartment and per breathing path.

mod account;
mod cluster;
mod core;
mod doors;
mod fault;
mod frozen;
mod instrument;
mod level;
mod linear;
mod monitor;
mod obey;
mod order;
mod people;
mod propagate;
mod reading;
mod slots;
mod state;
mod steel;
mod view;

pub use cluster::{LONGEST_FREEZE_S, LONGEST_REST_S};
pub use core::{MAX_EDGES, Plant};
pub use frozen::{ABSORPTION_J_MOL, DRY_BED_RH, WALL_HEIGHT_M};
pub use monitor::{Monitor, Watched};
pub use order::*;
pub use reading::*;
pub use state::*;
pub use steel::*;
pub use view::Air;
