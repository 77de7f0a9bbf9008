//! Bringing volumes to one pressure: levelling a compartment with its own valves, and joining two
//! across a door.

use super::context::Look;
use super::practice::bell::{EQUAL_MSW, PRESS_MSW_S, SLOWEST_MSW_S};
use super::practice::{LOSS_MSW, SURFACE_MSW};
use super::valves;
use crate::record::ValveName;
use crate::units::*;

/// Brings a compartment to a depth by its supply or its exhaust. True when it is there and both are
/// shut. `volume_m3` is all that is open to it.
pub fn level(look: &mut Look, c: CompartmentId, volume_m3: f64, wanted_msw: f64) -> bool {
    let depth = look.depth(c);
    let off = wanted_msw - depth;
    let (supply, exhaust) = (ValveName::BlowDown(c), ValveName::Exhaust(c));
    if off.abs() <= EQUAL_MSW {
        look.valve(supply, 0.0, Purpose::BellAndTrunk);
        look.valve(exhaust, 0.0, Purpose::TrunkVent);
        return true;
    }
    let rate = (off.abs() / 15.0).clamp(SLOWEST_MSW_S, PRESS_MSW_S);
    let gauge = look.depth_gauge(c);
    if off > 0.0 {
        look.valve(exhaust, 0.0, Purpose::TrunkVent);
        let opening = valves::blow_down(look, c, volume_m3, depth, rate).max(0.002);
        set(look, supply, opening, Purpose::BellAndTrunk);
        look.when(gauge, true, wanted_msw - 0.5 * EQUAL_MSW);
    } else {
        look.valve(supply, 0.0, Purpose::BellAndTrunk);
        let opening = valves::exhaust(look, exhaust, volume_m3, depth, rate).max(0.002);
        set(look, exhaust, opening, Purpose::TrunkVent);
        look.when(gauge, false, wanted_msw + 0.5 * EQUAL_MSW);
    }
    let at = look.now + if off.abs() > 5.0 { 30 } else { 10 };
    look.wake(at);
    false
}

/// Shuts the supply and the exhaust of a compartment that stands by itself.
pub fn shut(look: &mut Look, c: CompartmentId) {
    look.valve(ValveName::BlowDown(c), 0.0, Purpose::BellAndTrunk);
    look.valve(ValveName::Exhaust(c), 0.0, Purpose::TrunkVent);
}

/// Whether neither supply nor exhaust of a compartment is open.
pub fn still(look: &Look, c: CompartmentId) -> bool {
    look.panel.valve(ValveName::BlowDown(c)) == 0.0
        && look.panel.valve(ValveName::Exhaust(c)) == 0.0
}

/// Moves a valve only when it stands far from where it should.
fn set(look: &mut Look, valve: ValveName, opening: f64, purpose: Purpose) {
    let stands = look.panel.valve(valve);
    if !(0.75 * opening..=1.25 * opening).contains(&stands) {
        look.valve(valve, opening, purpose);
    }
}

/// Equalises across a door and opens it. True when its lamp says open.
pub fn join(look: &mut Look, door: DoorId, a: CompartmentId, b: CompartmentId) -> bool {
    let valve = ValveName::Equalise(door);
    if look.panel.open(door) {
        look.valve(valve, 0.0, Purpose::Transfer);
        return true;
    }
    look.valve(valve, 1.0, Purpose::Transfer);
    let apart = (look.depth(a) - look.depth(b)).abs();
    if apart <= LOSS_MSW {
        look.door(door, true);
    }
    let at = look.now + 10;
    look.wake(at);
    false
}

/// Vents a compartment to the surface by its exhaust. True when it shows none; the exhaust stays open.
pub fn empty(look: &mut Look, c: CompartmentId) -> bool {
    let valve = ValveName::Exhaust(c);
    if look.depth(c) <= SURFACE_MSW {
        return true;
    }
    look.valve(valve, 1.0, Purpose::TrunkVent);
    look.when(look.depth_gauge(c), false, SURFACE_MSW);
    let at = look.now + 120;
    look.wake(at);
    false
}
