//! Bringing volumes to one pressure: equalising a compartment with its own valves, and joining two
//! across a door.

use super::banks::Banks;
use super::context::Look;
use super::house_figures::bell::{
    BARELY, CRACKED, EQUAL_MSW, JOIN_ANYHOW_S, JOIN_MORE_S, JOINED_MSW, PRESS_MSW_S, REST_S,
    SETTLE_S, SLOWEST_MSW_S,
};
use super::house_figures::{LOSS_MSW, SURFACE_MSW};
use super::make_up::make_up;
use super::valves;
use deepstay_core::record::{LineName, ValveName};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// Brings a compartment to a depth by its supply or its exhaust. True when it is there and both are
/// shut. `volume_m3` is all that is open to it.
pub fn equalise(look: &mut Look, c: CompartmentId, volume_m3: f64, wanted_msw: f64) -> bool {
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

/// Brings a compartment that stands by itself level by its own supply. Whether it is there; none where no bank feeds it,
/// and it is shut.
pub fn bring_level(
    look: &mut Look,
    c: CompartmentId,
    wanted_msw: f64,
    banks: &mut Banks,
) -> Option<bool> {
    if !banks.keep(look, LineName::Supply(c), &make_up(look, c)) {
        shut(look, c);
        return None;
    }
    let volume_m3 = look.kit.scenario.steel.compartments[c.index()].volume_m3;
    Some(equalise(look, c, volume_m3, wanted_msw))
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

/// A door being joined across.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Joint {
    door: DoorId,
    /// Since when its gauges have shown about the same.
    since: i64,
    /// When that was last seen, and how far apart they were, msw.
    seen: i64,
    apart_msw: f64,
}

impl Joint {
    /// Whether it is this door that is being joined across.
    pub fn is_at(&self, door: DoorId) -> bool {
        self.door == door
    }
}

/// The joint being made, if one is.
pub type Joining = Option<Joint>;

/// Equalises across a door and opens it once the gauges on both sides have come to rest at the same; or at
/// about the same after a longer time, for gauges that are a little off keep no door. True when its lamp
/// says open. Sides that show depths far apart are not joined at all: one would blow down through the valve into the
/// other, and people live behind it. Whoever wants them joined brings them level first, each by its own supply.
pub fn join(
    look: &mut Look,
    door: DoorId,
    a: CompartmentId,
    b: CompartmentId,
    joining: &mut Joining,
) -> bool {
    let valve = ValveName::Equalise(door);
    if look.panel.open(door) {
        look.valve(valve, 0.0, Purpose::Transfer);
        return true;
    }
    let apart_msw = look.depth(a) - look.depth(b);
    let apart = apart_msw.abs();
    if apart > LOSS_MSW {
        *joining = None;
        look.valve(valve, 0.0, Purpose::Transfer);
        let at = look.now + 10;
        look.wake(at);
        return false;
    }
    let before = joining.filter(|j| j.door == door && look.now <= j.seen + 3 * SETTLE_S);
    let since = before.map_or(look.now, |j| j.since);
    *joining = Some(Joint {
        door,
        since,
        seen: look.now,
        apart_msw,
    });
    let waited_s = look.now - since;
    // Cracked at first, so that neither gauge runs past; opened when that does not bring them together.
    let opening = match apart {
        _ if apart > 2.0 * JOINED_MSW && waited_s >= 2 * JOIN_MORE_S => 1.0,
        _ if apart > 2.0 * JOINED_MSW => CRACKED,
        _ if apart > JOINED_MSW && waited_s >= JOIN_MORE_S => CRACKED,
        _ => BARELY,
    };
    look.valve(valve, opening, Purpose::Transfer);
    let at_rest = before.is_some_and(|j| (j.apart_msw - apart_msw).abs() <= JOINED_MSW);
    if at_rest && apart <= JOINED_MSW && waited_s >= SETTLE_S {
        look.door(door, true);
    } else if at_rest && waited_s >= JOIN_ANYHOW_S {
        look.door(door, true);
        *joining = None;
    }
    let at = look.now + 10;
    look.wake(at);
    false
}

/// Whether a gauge has come to rest: it shows what it showed a while ago. `since` is when it began to show
/// that, and what; the caller empties it when the gauge is no longer where it should be.
pub fn at_rest(look: &mut Look, shown: f64, since: &mut Option<(i64, f64)>) -> bool {
    let (at, before) = *since.get_or_insert((look.now, shown));
    if (shown - before).abs() > 0.5 * EQUAL_MSW {
        *since = Some((look.now, shown));
    } else if look.now >= at + REST_S {
        return true;
    }
    let later = look.now + SETTLE_S;
    look.wake(later);
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
