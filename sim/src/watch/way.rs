//! The ways of a bell run: divers through the next door, the bell to its depth, bell and trunk to the
//! chamber's pressure, and how long each takes.

use super::bell::both_m3;
use super::context::Look;
use super::layout::{BellLayout, route};
use super::practice::bell as lengths;
use super::trunk;
use crate::record::Whereabouts;
use crate::scenario::BellRun;
use crate::units::*;

/// Levels bell and trunk with a depth, together while the hatch between them is open.
pub fn level_both(look: &mut Look, at: &BellLayout, hatch: DoorId, depth_msw: f64) -> bool {
    if look.panel.open(hatch) {
        return trunk::level(look, at.bell, both_m3(look, at), depth_msw);
    }
    let compartments = &look.kit.scenario.steel.compartments;
    let (bell_m3, trunk_m3) = (
        compartments[at.bell.index()].volume_m3,
        compartments[at.trunk.index()].volume_m3,
    );
    trunk::level(look, at.bell, bell_m3, depth_msw)
        & trunk::level(look, at.trunk, trunk_m3, depth_msw)
}

/// Sends a diver through the next door on his way. True when he is there.
pub fn step_towards(look: &mut Look, diver: DiverId, to: CompartmentId) -> bool {
    let Whereabouts::In(here) = look.panel.whereabouts(diver) else {
        return false;
    };
    if here == to {
        return true;
    }
    if let Some(&(_, next)) = route(&look.kit.scenario.steel, here, to)
        .and_then(|w| w.first().copied())
        .as_ref()
    {
        look.go(diver, Whereabouts::In(next));
    }
    false
}

/// Seconds between deck and working depth.
pub fn travel_s(look: &Look, at: &BellLayout, planned: &BellRun) -> i64 {
    let fitted = look.kit.scenario.steel.compartments[at.bell.index()]
        .bell
        .as_ref();
    fitted.map_or(0, |b| {
        b.handling_s + (planned.depth_msw / b.winch_msw_s.max(1e-3)).ceil() as i64
    })
}

/// Seconds from the last diver in to the trunk open again.
pub fn way_home_s(look: &Look, at: &BellLayout, planned: &BellRun) -> i64 {
    lengths::STOW_S
        + lengths::SEAL_S
        + travel_s(look, at, planned)
        + lengths::MATING_S
        + lengths::TRUNK_S
}

/// Fall of the bell's gauge over a watched seal that fails it, msw (house rule): what a gauge wavers, and one
/// in a hundred of the pressure for gas that cools by three kelvin (own arithmetic, ideal gas at 300 K).
pub fn seal_fall_msw(depth_msw: f64) -> f64 {
    0.3 + 0.01 * depth_msw
}
