//! After a loss of depth the living chamber stands alone. What was shut off is pressed again, watched
//! for a while, and opened if it holds; if it does not, it is left alone and tried later.

use super::banks::Banks;
use super::context::Look;
use super::hold::make_up;
use super::house_figures;
use super::trunk::{self, Joining};
use deepstay_core::record::{LineName, ValveName};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// Longest time one try to equalise takes, s.
const TRY_S: i64 = 1800;
/// How long the gauge is watched before the door is opened, s.
const WATCH_S: i64 = 600;
/// Time between two tries, s.
const AGAIN_S: i64 = 2 * 3600;

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Doing {
    #[default]
    Nothing,
    Levelling,
    Watching {
        from_msw: f64,
    },
    Opening,
}

/// State of the rejoining of one level.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Rejoin {
    doing: Doing,
    since: i64,
    next: i64,
    joining: Joining,
}

impl Rejoin {
    /// Puts off the first try after a loss.
    pub fn put_off(&mut self, now: i64) {
        self.doing = Doing::Nothing;
        self.next = now + house_figures::ROUND_S;
    }

    /// Looks and acts while the level is held.
    pub fn act(&mut self, look: &mut Look, level: usize, target_msw: f64, banks: &mut Banks) {
        let Some((door, near, far)) = shut_off(look, level) else {
            self.doing = Doing::Nothing;
            return;
        };
        let fallen = |look: &Look, from: f64| from - look.depth(far) > house_figures::DEPTH_LOW_MSW;
        match self.doing {
            Doing::Nothing => {
                if look.now >= self.next {
                    self.go(look, Doing::Levelling);
                } else {
                    look.wake(self.next);
                }
            }
            Doing::Levelling => {
                let volume_m3 = look.kit.scenario.steel.compartments[far.index()].volume_m3;
                if look.now > self.since + TRY_S
                    || !banks.keep(look, LineName::Supply(far), &make_up(look, far))
                {
                    self.leave(look, far);
                } else if trunk::equalise(look, far, volume_m3, target_msw) {
                    let from_msw = look.depth(far);
                    self.go(look, Doing::Watching { from_msw });
                }
            }
            Doing::Watching { from_msw } => {
                if fallen(look, from_msw) {
                    self.leave(look, far);
                } else if look.now >= self.since + WATCH_S {
                    self.go(look, Doing::Opening);
                } else {
                    let at = look.now + 60;
                    look.wake(at);
                }
            }
            Doing::Opening => {
                if look.now > self.since + TRY_S {
                    look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
                    self.leave(look, far);
                } else if trunk::join(look, door, near, far, &mut self.joining) {
                    self.doing = Doing::Nothing;
                }
            }
        }
    }

    fn go(&mut self, look: &mut Look, doing: Doing) {
        self.doing = doing;
        self.since = look.now;
        let soon = look.now + 1;
        look.wake(soon);
    }

    fn leave(&mut self, look: &mut Look, far: CompartmentId) {
        look.valve(ValveName::BlowDown(far), 0.0, Purpose::BellAndTrunk);
        look.valve(ValveName::Exhaust(far), 0.0, Purpose::TrunkVent);
        self.doing = Doing::Nothing;
        self.next = look.now + AGAIN_S;
        look.wake(self.next);
    }
}

/// The first shut door within a level, with the member on the living chamber's level and the one beyond.
fn shut_off(look: &Look, level: usize) -> Option<(DoorId, CompartmentId, CompartmentId)> {
    let layout = &look.kit.layout.levels[level];
    let door = layout
        .within
        .iter()
        .copied()
        .find(|&d| !look.panel.open(d))?;
    let plate = &look.kit.scenario.steel.doors[door.index()];
    let other = plate.b?;
    let order = |c: CompartmentId| layout.members.iter().position(|&m| m == c);
    Some(if order(plate.a) <= order(other) {
        (door, plate.a, other)
    } else {
        (door, other, plate.a)
    })
}
