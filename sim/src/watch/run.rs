//! One bell run, phase by phase: checks, transfer, seal, trunk vented, lowering, the divers out and
//! back, seal, recovery, mating, trunk pressed, transfer. Each phase waits for what the panel shows.

use super::asked;
use super::banks::Banks;
use super::bell::run_number;
use super::bell_gas;
use super::context::Look;
use super::layout::BellLayout;
use super::practice::{LOSS_MSW, bell as lengths};
use super::trunk;
use super::water::{self, Water};
use super::way::{level_both, seal_fall_msw, step_towards, travel_s, way_home_s};
use crate::plant::{Activity, SteelOrder};
use crate::record::{BellPhase, Stopped, ValveName, What};
use crate::scenario::BellRun;
use crate::units::*;
use serde::{Deserialize, Serialize};

/// How far the sea may stand from the planned depth by tide and gauge, msw.
const TIDE_MSW: f64 = 2.0;
/// How long transfers are waited for before the run is broken off, s.
const TRANSFER_WAIT_S: i64 = 1800;

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
enum Doing {
    Checks,
    OpenUp,
    Transfer,
    Seal,
    TrunkVent,
    Unclamp,
    Lowering,
    Level,
    Water(Water),
    BottomSeal,
    Raising,
    Mating,
    TrunkPress,
    OpenBack,
    TransferBack,
}

/// State of a run.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Run {
    number: u16,
    /// Side the divers come from and go back to.
    side: u8,
    doing: Doing,
    since: i64,
    /// Depth shown when the phase began, msw.
    from_msw: f64,
    /// When the trunk door was shut on them.
    sealed_at: i64,
    ended: Option<Stopped>,
    /// Tries to open the bottom door.
    tries: u8,
    /// Bell and trunk are level with the chamber and may be joined to it.
    levelled: bool,
}

impl Run {
    /// Begins with the check sheet.
    pub fn begin(
        look: &mut Look,
        at: &BellLayout,
        number: usize,
        planned: &BellRun,
        side: usize,
    ) -> Run {
        let run = Run {
            number: run_number(number),
            side: u8::try_from(side).unwrap_or(0),
            doing: Doing::Checks,
            since: look.now,
            from_msw: 0.0,
            sealed_at: look.now,
            ended: None,
            tries: 0,
            levelled: false,
        };
        run.phase(look, at, BellPhase::Checks);
        bell_gas::begin_checks(look, at.bell, planned.depth_msw);
        run
    }

    /// Length to be reckoned with from checks to done, s.
    pub fn estimate_s(look: &Look, at: &BellLayout, planned: &BellRun) -> i64 {
        let turns = water::turns(planned);
        let to_seal = lengths::CHECKS_S + lengths::TRANSFER_S + lengths::TRUNK_S;
        let out = lengths::SEAL_S
            + lengths::CLAMP_S
            + lengths::TRUNK_S
            + travel_s(look, at, planned)
            + lengths::DRESS_S;
        let wet = i64::from(turns) * water::turn_s(planned)
            + i64::from(turns - 1) * water::between_s(planned);
        to_seal + out + wet + way_home_s(look, at, planned) + lengths::TRANSFER_S
    }

    /// Looks and acts. True when the run is over.
    pub fn act(
        &mut self,
        look: &mut Look,
        at: &BellLayout,
        planned: &BellRun,
        banks: &mut Banks,
    ) -> bool {
        match self.doing {
            Doing::Checks => return self.checks(look, at, planned, banks),
            Doing::OpenUp => self.open_up(look, at, banks, Doing::Transfer),
            Doing::Transfer => self.transfer(look, at, planned),
            Doing::Seal => self.seal(look, at),
            Doing::TrunkVent => {
                if trunk::empty(look, at.trunk) || look.now > self.since + 900 {
                    self.go(look, at, Doing::Unclamp);
                }
            }
            Doing::Unclamp => self.unclamp(look, at),
            Doing::Lowering => self.lower(look, at, planned),
            Doing::Level => self.open_bottom(look, at),
            Doing::Water(mut wet) => {
                let clock = self.sealed_at
                    + asked::bell_run_s(&look.kit.scenario, planned.depth_msw)
                    - way_home_s(look, at, planned);
                let over = wet.act(
                    look,
                    at,
                    self.number,
                    planned,
                    banks,
                    clock,
                    &mut self.ended,
                );
                self.doing = Doing::Water(wet);
                if over {
                    self.go(look, at, Doing::BottomSeal);
                }
            }
            Doing::BottomSeal => self.bottom_seal(look, at),
            Doing::Raising => self.raise(look, at, planned),
            Doing::Mating => self.mate(look, at),
            Doing::TrunkPress => self.press_trunk(look, at, banks),
            Doing::OpenBack => self.open_up(look, at, banks, Doing::TransferBack),
            Doing::TransferBack => return self.transfer_back(look, at, planned),
        }
        false
    }

    fn phase(&self, look: &mut Look, at: &BellLayout, phase: BellPhase) {
        look.write(What::BellPhase {
            bell: at.bell,
            run: self.number,
            phase,
        });
    }

    fn stop(&mut self, look: &mut Look, at: &BellLayout, why: Stopped) {
        if self.ended.is_none() {
            look.write(What::BellStopped {
                bell: at.bell,
                run: self.number,
                why,
            });
            self.ended = Some(why);
        }
    }

    /// Enters a phase: says so, and looks again at once.
    fn go(&mut self, look: &mut Look, at: &BellLayout, doing: Doing) {
        let named = match doing {
            Doing::Transfer => Some(BellPhase::Transfer),
            Doing::Seal => Some(BellPhase::Seal),
            Doing::TrunkVent => Some(BellPhase::TrunkVented),
            Doing::Lowering => Some(BellPhase::Lowering),
            Doing::Water(_) => Some(BellPhase::DoorOpen),
            Doing::BottomSeal => Some(BellPhase::BottomSeal),
            Doing::Raising => Some(BellPhase::Recovery),
            Doing::Mating => Some(BellPhase::Mating),
            Doing::TrunkPress => Some(BellPhase::TrunkPressed),
            Doing::TransferBack => Some(BellPhase::TransferBack),
            _ => None,
        };
        if let Some(phase) = named {
            self.phase(look, at, phase);
        }
        self.doing = doing;
        self.since = look.now;
        self.from_msw = look.depth(at.bell);
        let soon = look.now + 1;
        look.wake(soon);
    }

    fn after(&self, look: &mut Look, wait_s: i64) -> bool {
        if look.now < self.since + wait_s {
            look.wake(self.since + wait_s);
        }
        look.now >= self.since + wait_s
    }

    fn chamber(&self, look: &Look) -> CompartmentId {
        look.kit.layout.sides[usize::from(self.side)].living
    }

    /// The trunk door to the divers' side.
    fn trunk_door(&self, look: &Look, at: &BellLayout) -> Option<(DoorId, CompartmentId)> {
        let members = &look.kit.layout.sides[usize::from(self.side)].members;
        at.trunk_doors
            .iter()
            .copied()
            .find(|(_, c)| members.contains(c))
    }

    fn checks(
        &mut self,
        look: &mut Look,
        at: &BellLayout,
        planned: &BellRun,
        banks: &mut Banks,
    ) -> bool {
        let good = bell_gas::checked(look, at.bell, planned.depth_msw, banks)
            & bell_gas::supply(look, at, planned.depth_msw, banks);
        if !self.after(look, lengths::CHECKS_S) {
            return false;
        }
        if good && self.trunk_door(look, at).is_some() && planned.divers.len() >= 2 {
            self.go(look, at, Doing::OpenUp);
            return false;
        }
        self.stop(look, at, if good { Stopped::Checks } else { Stopped::Gas });
        bell_gas::machines_off(look, at.bell);
        true
    }

    /// Bell, trunk and chamber to one pressure, hatch and trunk door open. First each is levelled with
    /// its own valves and everything between them shut, then they are joined; never both at once, or the
    /// chamber would blow through.
    fn open_up(&mut self, look: &mut Look, at: &BellLayout, banks: &mut Banks, next: Doing) {
        let (Some(hatch), Some((door, chamber))) = (at.hatch, self.trunk_door(look, at)) else {
            return;
        };
        let depth_msw = look.depth(self.chamber(look));
        if !self.levelled {
            bell_gas::supply(look, at, depth_msw, banks);
            self.levelled = look.panel.open(door) || level_both(look, at, hatch, depth_msw);
            if self.levelled {
                trunk::shut(look, at.bell);
                trunk::shut(look, at.trunk);
            }
        }
        if !self.levelled {
            return;
        }
        if trunk::join(look, hatch, at.bell, at.trunk) && trunk::join(look, door, at.trunk, chamber)
        {
            self.levelled = false;
            self.go(look, at, next);
        } else if (look.depth(at.trunk) - depth_msw).abs() > LOSS_MSW
            || (look.depth(at.bell) - look.depth(at.trunk)).abs() > LOSS_MSW
        {
            look.valve(ValveName::Equalise(hatch), 0.0, Purpose::Transfer);
            look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
            self.levelled = false;
        }
    }

    fn transfer(&mut self, look: &mut Look, at: &BellLayout, planned: &BellRun) {
        let mut all = true;
        for &diver in &planned.divers {
            all &= step_towards(look, diver, at.bell);
        }
        if all {
            for &diver in &planned.divers {
                look.give(diver, Activity::Bellman);
            }
            self.go(look, at, Doing::Seal);
        } else if look.now > self.since + TRANSFER_WAIT_S {
            self.stop(look, at, Stopped::Diver);
            self.go(look, at, Doing::TransferBack);
        } else {
            let at = look.now + 30;
            look.wake(at);
        }
    }

    /// Doors shut on both sides of the trunk, the bell's gauge watched.
    fn seal(&mut self, look: &mut Look, at: &BellLayout) {
        let (Some(hatch), Some((door, _))) = (at.hatch, self.trunk_door(look, at)) else {
            return;
        };
        if look.panel.open(hatch) || look.panel.open(door) {
            look.door(hatch, false);
            look.door(door, false);
            self.since = look.now + 1;
            self.sealed_at = look.now;
            self.from_msw = look.depth(at.bell);
            let soon = look.now + 1;
            look.wake(soon);
        } else if self.after(look, lengths::SEAL_S) {
            if self.from_msw - look.depth(at.bell) > seal_fall_msw(self.from_msw) {
                self.stop(look, at, Stopped::Checks);
                self.go(look, at, Doing::OpenBack);
            } else {
                self.go(look, at, Doing::TrunkVent);
            }
        }
    }

    fn unclamp(&mut self, look: &mut Look, at: &BellLayout) {
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

    fn lower(&mut self, look: &mut Look, at: &BellLayout, planned: &BellRun) {
        if look.now <= self.since + 1 {
            look.steel(SteelOrder::Bell {
                bell: at.bell,
                to_msw: planned.depth_msw,
            });
        }
        let travel_s = travel_s(look, at, planned);
        let near = look.sea(at.bell) >= planned.depth_msw - TIDE_MSW;
        let (due, late) = (self.since + travel_s, self.since + 2 * travel_s + 600);
        if (near && look.now >= due) || look.now > late {
            self.go(look, at, Doing::Level);
            return;
        }
        let later = if look.now < due { due } else { look.now + 30 };
        look.wake(later);
    }

    /// Bell pressure brought to the sea's; the bottom door tried, a little over or under on each try
    /// that the door does not give way.
    fn open_bottom(&mut self, look: &mut Look, at: &BellLayout) {
        let Some(bottom) = at.bottom else { return };
        if look.panel.open(bottom) {
            look.valve(ValveName::BlowDown(at.bell), 0.0, Purpose::BellAndTrunk);
            self.go(look, at, Doing::Water(Water::new(look.now)));
            return;
        }
        let off = [0.0, 0.1, -0.1, 0.2, -0.2, 0.3, -0.3, 0.4][usize::from(self.tries % 8)];
        let volume_m3 = look.kit.scenario.steel.compartments[at.bell.index()].volume_m3;
        if trunk::level(look, at.bell, volume_m3, look.sea(at.bell) + off) {
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

    fn bottom_seal(&mut self, look: &mut Look, at: &BellLayout) {
        if let Some(bottom) = at.bottom {
            look.door(bottom, false);
        }
        if self.after(look, lengths::SEAL_S) {
            if self.from_msw - look.depth(at.bell) > seal_fall_msw(self.from_msw) && self.tries < 3
            {
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

    fn raise(&mut self, look: &mut Look, at: &BellLayout, planned: &BellRun) {
        if !self.after(look, travel_s(look, at, planned)) {
            return;
        }
        // On deck by its gauge, or by the time gone for a gauge that never shows nought.
        let long = look.now > self.since + 2 * travel_s(look, at, planned) + 300;
        if look.sea(at.bell) <= 0.05 || (long && look.sea(at.bell) < TIDE_MSW) {
            self.go(look, at, Doing::Mating);
        } else {
            let at = look.now + 30;
            look.wake(at);
        }
    }

    fn mate(&mut self, look: &mut Look, at: &BellLayout) {
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

    fn press_trunk(&mut self, look: &mut Look, at: &BellLayout, banks: &mut Banks) {
        let depth_msw = look.depth(self.chamber(look));
        if !bell_gas::supply(look, at, depth_msw, banks) {
            trunk::shut(look, at.trunk);
            let later = look.now + 60;
            look.wake(later);
            return;
        }
        let volume_m3 = look.kit.scenario.steel.compartments[at.trunk.index()].volume_m3;
        if trunk::level(look, at.trunk, volume_m3, depth_msw) {
            self.go(look, at, Doing::OpenBack);
        }
    }

    fn transfer_back(&mut self, look: &mut Look, at: &BellLayout, planned: &BellRun) -> bool {
        let mut all = true;
        for &diver in &planned.divers {
            let home = look.kit.scenario.crew[diver.index()].chamber;
            let members = &look.kit.layout.sides[usize::from(self.side)].members;
            let to = if members.contains(&home) {
                home
            } else {
                self.chamber(look)
            };
            all &= step_towards(look, diver, to);
        }
        if !all {
            let later = look.now
                + if look.now < self.since + TRANSFER_WAIT_S {
                    30
                } else {
                    600
                };
            look.wake(later);
            return false;
        }
        if let Some((door, _)) = self.trunk_door(look, at)
            && look.panel.open(door)
        {
            look.door(door, false);
            let at = look.now + 1;
            look.wake(at);
            return false;
        }
        for &diver in &planned.divers {
            look.give(diver, Activity::Rest);
        }
        bell_gas::machines_off(look, at.bell);
        self.phase(look, at, BellPhase::Done);
        true
    }
}
