//! Transit: divers through the next door, bell and trunk to the chamber's pressure, and whether a shut bell
//! holds its seal.

use super::context::Look;
use super::house_figures::bell as lengths;
use super::layout::{BellLayout, route};
use super::trunk;
use deepstay_core::record::Whereabouts;
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// Gas volume of bell and trunk together, m3.
pub fn both_m3(look: &Look, at: &BellLayout) -> f64 {
    let compartments = &look.kit.scenario.steel.compartments;
    compartments[at.bell.index()].volume_m3 + compartments[at.trunk.index()].volume_m3
}

/// Brings bell and trunk to a depth, together while the hatch between them is open.
pub fn equalise_both(look: &mut Look, at: &BellLayout, hatch: DoorId, depth_msw: f64) -> bool {
    if look.panel.open(hatch) {
        return trunk::equalise(look, at.bell, both_m3(look, at), depth_msw);
    }
    let compartments = &look.kit.scenario.steel.compartments;
    let (bell_m3, trunk_m3) = (
        compartments[at.bell.index()].volume_m3,
        compartments[at.trunk.index()].volume_m3,
    );
    trunk::equalise(look, at.bell, bell_m3, depth_msw)
        & trunk::equalise(look, at.trunk, trunk_m3, depth_msw)
}

/// Sends a diver through the next door on his way, once it is open: it may be shut while a leak is looked for. True
/// when he is there.
pub fn step_towards(look: &mut Look, diver: DiverId, to: CompartmentId) -> bool {
    let Whereabouts::In(here) = look.panel.whereabouts(diver) else {
        return false;
    };
    if here == to {
        return true;
    }
    let way = route(&look.kit.scenario.steel, here, to);
    if let Some((door, next)) = way.and_then(|w| w.first().copied())
        && look.panel.open(door)
    {
        look.go(diver, Whereabouts::In(next));
    }
    false
}

/// What a shut compartment showed when it was shut.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShutIn {
    depth_msw: f64,
    t_k: Option<f64>,
}

/// Reads gauge and thermometer of a compartment just shut.
pub fn shut_in(look: &Look, c: CompartmentId) -> ShutIn {
    ShutIn {
        depth_msw: look.depth(c),
        t_k: look.temperature_k(c),
    }
}

/// Whether the gauge of a shut bell has fallen by more than its cooling explains: at one volume pressure goes
/// as temperature, so what is shown is brought back to the temperature at which the bell was shut.
pub fn seal_fails(look: &Look, bell: CompartmentId, then: ShutIn) -> bool {
    let now = shut_in(look, bell);
    let surface_pa = look.kit.scenario.steel.surface_pa;
    let p_pa = |depth_msw: f64| surface_pa + depth_msw * MSW_PA;
    let (warmed, share) = match (then.t_k, now.t_k) {
        (Some(before), Some(after)) if after > 0.0 => (before / after, 0.0),
        _ => (1.0, lengths::SEAL_FALL_SHARE),
    };
    let fallen_msw = (p_pa(then.depth_msw) - p_pa(now.depth_msw) * warmed) / MSW_PA;
    fallen_msw > lengths::SEAL_FALL_MSW + share * then.depth_msw
}
