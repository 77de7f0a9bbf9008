//! A bell run away from the chambers: sealed, its trunk vented, lowered, its bottom door opened; and back:
//! sealed, raised, mated, its trunk pressed. Each phase waits for what the panel shows.

use super::banks::Banks;
use super::bell_gas;
use super::context::Look;
use super::house_figures::bell as lengths;
use super::layout::BellLayout;
use super::run::{Doing, Run};
use super::transit::{self, seal_fails};
use super::trunk;
use super::water::Water;
use deepstay_core::record::{Stopped, ValveName};
use deepstay_core::units::*;
use deepstay_plant::SteelOrder;
use deepstay_scenario::BellRun;
use deepstay_scenario::lengths::travel_s;

/// How far the sea may stand from the planned depth by tide and gauge, msw.
const TIDE_MSW: f64 = 2.0;

impl Run {
    /// Doors shut on both sides of the trunk, the bell's gauge watched.
    pub(super) fn seal(&mut self, look: &mut Look, at: &BellLayout) {
        let (Some(hatch), Some((door, _))) = (at.hatch, self.trunk_door(look, at)) else {
            return;
        };
        if look.panel.open(hatch) || look.panel.open(door) {
            look.door(hatch, false);
            look.door(door, false);
            self.since = look.now + 1;
            self.sealed_at = look.now;
            self.shut_in = transit::shut_in(look, at.bell);
            let soon = look.now + 1;
            look.wake(soon);
        } else if self.after(look, lengths::SEAL_S) {
            if seal_fails(look, at.bell, self.shut_in) {
                self.stop(look, at, Stopped::Checks);
                self.go(look, at, Doing::OpenBack);
            } else {
                self.go(look, at, Doing::TrunkVent);
            }
        }
    }

    pub(super) fn unclamp(&mut self, look: &mut Look, at: &BellLayout) {
        let Some(hatch) = at.hatch else { return };
        if look.panel.clamped(hatch) {
            if self.after(look, lengths::EMPTY_S) {
                look.steel(SteelOrder::Clamp {
                    door: hatch,
                    made: false,
                });
            }
            let soon = look.now + 10;
            look.wake(soon);
        } else if self.after(look, lengths::CLAMP_S) {
            look.valve(ValveName::Exhaust(at.trunk), 0.0, Purpose::TrunkVent);
            self.go(look, at, Doing::Lowering);
        }
    }

    pub(super) fn lower(&mut self, look: &mut Look, at: &BellLayout, planned: &BellRun) {
        if look.now <= self.since + 1 {
            self.lowered_at = look.now;
            look.steel(SteelOrder::Bell {
                bell: at.bell,
                to_msw: planned.depth_msw,
            });
        }
        let travel_s = travel_s(planned, &look.kit.scenario.steel);
        let near = look.sea(at.bell) >= planned.depth_msw - TIDE_MSW;
        let (due, late) = (self.since + travel_s, self.since + 2 * travel_s + 600);
        if (near && look.now >= due) || look.now > late {
            self.go(look, at, Doing::BottomDoor);
            return;
        }
        let later = if look.now < due { due } else { look.now + 30 };
        look.wake(later);
    }

    /// Bell pressure brought to the sea's; the bottom door tried once both gauges have come to rest, a little
    /// over or under on each try that the door does not give way.
    pub(super) fn open_bottom(&mut self, look: &mut Look, at: &BellLayout) {
        let Some(bottom) = at.bottom else { return };
        if look.panel.open(bottom) {
            look.valve(ValveName::BlowDown(at.bell), 0.0, Purpose::BellAndTrunk);
            self.go(
                look,
                at,
                Doing::Water(Water::new(look.now, self.lowered_at)),
            );
            return;
        }
        let off = [0.0, 0.1, -0.1, 0.2, -0.2, 0.3, -0.3, 0.4][usize::from(self.tries % 8)];
        let volume_m3 = look.kit.scenario.steel.compartments[at.bell.index()].volume_m3;
        if !trunk::equalise(look, at.bell, volume_m3, look.sea(at.bell) + off) {
            self.rested_since = None;
        } else if trunk::at_rest(look, look.sea(at.bell), &mut self.rested_since) {
            self.rested_since = None;
            look.door(bottom, true);
            self.tries = self.tries.saturating_add(1);
            if self.tries > 40 {
                self.stop(look, at, Stopped::Checks);
                self.go(look, at, Doing::BottomSeal);
                return;
            }
            let at = look.now + 5;
            look.wake(at);
        }
    }

    pub(super) fn bottom_seal(&mut self, look: &mut Look, at: &BellLayout) {
        if let Some(bottom) = at.bottom {
            look.door(bottom, false);
        }
        if self.after(look, lengths::SEAL_S) {
            if seal_fails(look, at.bell, self.shut_in) && self.tries < 3 {
                self.tries += 1;
                self.go(look, at, Doing::BottomSeal);
                return;
            }
            look.steel(SteelOrder::Bell {
                bell: at.bell,
                to_msw: 0.0,
            });
            self.go(look, at, Doing::Raising);
        }
    }

    pub(super) fn raise(&mut self, look: &mut Look, at: &BellLayout, planned: &BellRun) {
        if !self.after(look, travel_s(planned, &look.kit.scenario.steel)) {
            return;
        }
        // On deck by its gauge, or by the time gone for a gauge that never shows nought.
        let long = look.now > self.since + 2 * travel_s(planned, &look.kit.scenario.steel) + 300;
        if look.sea(at.bell) <= 0.05 || (long && look.sea(at.bell) < TIDE_MSW) {
            self.go(look, at, Doing::Mating);
        } else {
            let at = look.now + 30;
            look.wake(at);
        }
    }

    pub(super) fn mate(&mut self, look: &mut Look, at: &BellLayout) {
        let Some(hatch) = at.hatch else { return };
        if !self.after(look, lengths::MATING_S) {
            return;
        }
        if look.panel.clamped(hatch) {
            self.go(look, at, Doing::TrunkPress);
        } else {
            look.steel(SteelOrder::Clamp {
                door: hatch,
                made: true,
            });
            let at = look.now + 10;
            look.wake(at);
        }
    }

    pub(super) fn press_trunk(&mut self, look: &mut Look, at: &BellLayout, banks: &mut Banks) {
        let depth_msw = look.depth(self.chamber(look));
        if !bell_gas::supply(look, at, depth_msw, banks) {
            trunk::shut(look, at.trunk);
            let later = look.now + 60;
            look.wake(later);
            return;
        }
        let volume_m3 = look.kit.scenario.steel.compartments[at.trunk.index()].volume_m3;
        if trunk::equalise(look, at.trunk, volume_m3, depth_msw) {
            self.go(look, at, Doing::OpenBack);
        }
    }
}
