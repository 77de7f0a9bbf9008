//! What is done with a level at the surface: divers in, doors shut, machines started, banks analysed;
//! and at the end vented, opened, divers out.

use super::banks::{Banks, Need};
use super::bell_gas;
use super::context::Look;
use super::feed;
use super::house_figures;
use deepstay_core::record::{LineName, Machine, ValveName, Whereabouts};
use deepstay_core::units::*;
use deepstay_plant::{Activity, Duty};

/// Length of the checks before pressing, s (common practice, no source).
pub const CHECKS_S: i64 = 20 * 60;

/// Opens the way and sends those who live here in.
pub fn go_in(look: &mut Look, level: usize) {
    let kit = look.kit;
    let layout = &kit.layout.levels[level];
    if let Some(door) = layout.outer_door {
        look.door(door, true);
    }
    for &door in &layout.within {
        look.door(door, true);
    }
    for diver in look.crew() {
        let chamber = kit.scenario.crew[diver.index()].chamber;
        if layout.members.contains(&chamber)
            && look.panel.whereabouts(diver) == Whereabouts::Deck
            && kit.scenario.plan.aboard(diver, look.now)
        {
            look.go(diver, Whereabouts::In(chamber));
            look.give(diver, Activity::Chores);
        }
    }
    for &c in &layout.members {
        if kit.scenario.steel.compartments[c.index()]
            .scrubber
            .is_some()
        {
            look.switch(c, Machine::Fan, true);
        }
    }
}

/// Shuts the doors, has the banks analysed and lined up. True when the level is ready to press.
pub fn make_ready(look: &mut Look, level: usize, banks: &mut Banks) -> bool {
    let kit = look.kit;
    let layout = &kit.layout.levels[level];
    let c = layout.living;
    let all_in = look.crew().all(|d| {
        let lives_here = layout
            .members
            .contains(&kit.scenario.crew[d.index()].chamber)
            && kit.scenario.plan.aboard(d, look.now);
        !lives_here || look.panel.whereabouts(d) != Whereabouts::Deck
    });
    if !all_in {
        go_in(look, level);
        return false;
    }
    for &door in &layout.within {
        look.door(door, true);
    }
    let mut shut = true;
    for &door in &layout.around {
        shut &= !look.panel.open(door);
        look.door(door, false);
    }
    let oxygen = banks.keep(look, LineName::Oxygen(c), &feed::need(look, c));
    let supply = Need {
        duties: &[Duty::BottomMix, Duty::Helium],
        above_bar: 20.0,
        o2: (0.0, 0.25),
        best_o2: super::banks::MAKE_UP_O2,
        but: None,
    };
    shut & oxygen & banks.keep(look, LineName::Supply(c), &supply)
}

/// Keeps a breathable bank on the mask line of a chamber at a depth. True if there is one.
pub fn masks_line(look: &mut Look, c: CompartmentId, depth_msw: f64, banks: &mut Banks) -> bool {
    let p_bar = (look.kit.scenario.steel.surface_pa + depth_msw * MSW_PA) / BAR_PA;
    let (low, high) = house_figures::EMERGENCY_PPO2_BAR;
    let need = Need {
        duties: &[
            Duty::Emergency,
            Duty::Treatment,
            Duty::DiverGas,
            Duty::BottomMix,
        ],
        above_bar: bell_gas::heel_bar(look, depth_msw),
        o2: (low / p_bar, high / p_bar),
        best_o2: 0.8 * high / p_bar,
        but: None,
    };
    banks.keep(look, LineName::Bibs(c), &need)
}

/// Opens or shuts the exhausts of all members.
pub fn vent(look: &mut Look, level: usize, open: bool) {
    for &c in &look.kit.layout.levels[level].members {
        look.valve(
            ValveName::Exhaust(c),
            if open { 1.0 } else { 0.0 },
            Purpose::Bleed,
        );
    }
}

/// Opens the door to the deck and sends the divers out. True when they are out.
pub fn come_out(look: &mut Look, level: usize) -> bool {
    let kit = look.kit;
    let layout = &kit.layout.levels[level];
    if let Some(door) = layout.outer_door
        && !look.panel.open(door)
    {
        if no_way_through(look, level, door) {
            look.door(door, true);
        }
        let soon = look.now + 2;
        look.wake(soon);
        return false;
    }
    for &door in &layout.within {
        look.door(door, true);
    }
    let mut out = true;
    for diver in look.crew() {
        if matches!(look.panel.whereabouts(diver), Whereabouts::In(c) if layout.members.contains(&c))
        {
            out = false;
            look.go(diver, Whereabouts::Deck);
            look.give(diver, Activity::Rest);
        }
    }
    out
}

/// The interlock of a door to the deck refuses while gas under pressure could blow through its lock: the
/// equalising valves of the lock's other doors are shut first. True when all are.
fn no_way_through(look: &mut Look, level: usize, outer_door: DoorId) -> bool {
    let kit = look.kit;
    let layout = &kit.layout.levels[level];
    let doors = &kit.scenario.steel.doors;
    let lock = doors[outer_door.index()].a;
    let mut shut = true;
    for &door in layout.within.iter().chain(&layout.around) {
        let plate = &doors[door.index()];
        if door != outer_door && (plate.a == lock || plate.b == Some(lock)) {
            let valve = ValveName::Equalise(door);
            shut &= look.panel.valve(valve) == 0.0;
            look.valve(valve, 0.0, Purpose::Transfer);
        }
    }
    shut
}
