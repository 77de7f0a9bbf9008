//! What the supply line of a chamber, a trunk or a bell is lined up to, to press it and to hold its depth.

use super::banks::Need;
use super::context::Look;
use super::house_figures;
use deepstay_core::units::*;

/// What a chamber's supply line wants of a bank to hold its depth.
pub fn make_up<'a>(look: &Look, c: CompartmentId) -> Need<'a> {
    make_up_at(look, c, look.depth(c))
}

/// The same at a depth that it is to have.
pub fn make_up_at<'a>(look: &Look, c: CompartmentId, depth_msw: f64) -> Need<'a> {
    let plate = &look.kit.scenario.steel.compartments[c.index()];
    Need {
        duties: house_figures::MAKE_UP,
        above_bar: (depth_msw * MSW_PA + plate.supply_over_pa) / BAR_PA + house_figures::HEEL_BAR,
        o2: (0.0, 0.25),
        best_o2: super::banks::MAKE_UP_O2,
        but: None,
    }
}
