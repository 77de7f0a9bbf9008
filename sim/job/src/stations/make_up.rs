//! What a chamber's supply line is lined up to, to hold its depth.

use super::banks::Need;
use super::context::Look;
use super::house_figures;
use deepstay_core::units::*;

/// What a chamber's supply line wants of a bank to hold its depth.
pub fn make_up<'a>(look: &Look, c: CompartmentId) -> Need<'a> {
    let plate = &look.kit.scenario.steel.compartments[c.index()];
    Need {
        duties: house_figures::MAKE_UP,
        above_bar: (look.depth(c) * MSW_PA + plate.supply_over_pa) / BAR_PA
            + house_figures::HEEL_BAR,
        o2: (0.0, 0.25),
        best_o2: 0.02,
        but: None,
    }
}
