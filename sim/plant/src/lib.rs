//! The steel and what flows in it: orders in, readings out. It knows no diver, only a load per
//! compartment and per breathing path.

mod account;
mod bench;
mod cluster;
mod core;
mod course;
mod dense;
mod doors;
mod fault;
mod freeze;
mod frozen;
mod instrument;
mod level;
mod levelling;
mod linear;
mod monitor;
mod names;
mod obey;
mod order;
mod people;
mod radau;
mod reading;
mod slots;
mod start;
mod state;
mod steel;
mod step;
mod valves;
mod view;

pub use cluster::{LONGEST_INTERVAL_S, LONGEST_REST_S};
pub use core::{MAX_EDGES, Plant};
pub use deepstay_core::units::Duty;
pub use freeze::{ABSORPTION_J_MOL, DRY_BED_RH, WALL_HEIGHT_M};
pub use monitor::{Monitor, Watched};
pub use order::*;
pub use reading::*;
pub use state::*;
pub use steel::*;
pub use view::Air;
