//! The formulas of the hand sums as pure functions, each once: the sums of the watch, the reserve, the bill, the check of
//! files and the reports all call these. Each says its formula and its source.
//!
//! A name that ends in units counts in them: depths in msw by the school convention (10 msw = 1 bar, surface 1 bar),
//! volumes in m3 of free gas at 1 bar, flows in L/min. A name without holds in any units in which pressures are counted in
//! the pressure at which free gas is: bar and m3 at 1 bar, ata and ft3.

mod bill;
mod bottles;
mod chamber;
mod clock;
mod elsewhere;
mod handbook;
mod minimums;
mod mixing;
mod oxygen;

pub use bill::*;
pub use bottles::*;
pub use chamber::*;
pub use clock::*;
pub use deepstay_core::units::working::{ata_of_fsw as handbook_ata, fsw_of_ata as handbook_fsw};
pub use elsewhere::*;
pub use handbook::*;
pub use minimums::*;
pub use mixing::*;
pub use oxygen::*;

/// A diver's breathing on bail-out, L/min at depth (Brazil, NORMAM-222 of January 2025; seen).
pub const BAIL_OUT_L_MIN: f64 = 40.0;
/// Oxygen or carbon dioxide of a person for sizing, L/min of free gas: 30 L/h (France, order of 30 October 2012, art. 33;
/// seen).
pub const SIZING_L_MIN: f64 = 0.5;

/// Absolute pressure at a depth by the school convention, bar: 1 + D/10.
pub fn school_bar(depth_msw: f64) -> f64 {
    1.0 + depth_msw / 10.0
}

/// Depth at an absolute pressure by the school convention, msw: the inverse of [`school_bar`].
pub fn school_msw(absolute_bar: f64) -> f64 {
    10.0 * (absolute_bar - 1.0)
}
