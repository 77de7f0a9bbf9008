//! After a loss of depth the manned chamber stands alone. What was shut off is pressed again, watched for a while,
//! and opened if it holds; if it does not, it is left alone and tried later. A chamber known to leak is left until a
//! hand has been at its hull stop. Once the living chamber is whole again people go back to it.

use super::banks::Banks;
use super::context::Look;
use super::house_figures;
use super::house_figures::bell::PRESS_MSW_S;
use super::loss::Leaking;
use super::trunk::{self, Joining};
use deepstay_core::record::{ValveName, Whereabouts};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

// All figures of this file are the house's.

/// Longest time one try to join takes, and one to equalise besides what its pressing takes, s.
const TRY_S: i64 = 1800;
const LEVEL_S: i64 = 600;
/// After so long, s, it must have risen by so much of what its pressing should give.
const RISES_S: i64 = 120;
const RISES_SHARE: f64 = 0.3;
/// How long the gauge is watched before the door is opened, s.
const WATCH_S: i64 = 600;
/// How long the gauge of a chamber that leaked is looked at before it is pressed, s, and the depth that it is given
/// first, msw: one that lost all stands as still at the surface as a sound one.
const STANDS_S: i64 = 60;
const PROOF_MSW: f64 = 5.0;
/// What it may fall by as it cools after it was first pressed, as a share of the depth.
const COOLS_SHARE: f64 = 0.15;
/// Time between two tries, and for a chamber known to leak, s.
const AGAIN_S: i64 = 2 * 3600;
const LEAKS_AGAIN_S: i64 = 12 * 3600;

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Doing {
    #[default]
    Nothing,
    /// A hand has been at it: a little gas, to see whether that stays.
    Proving,
    /// Whether its gauge stands still now.
    Standing {
        from_msw: f64,
    },
    Levelling {
        from_msw: f64,
    },
    Watching {
        from_msw: f64,
    },
    Opening,
}

/// State of the rejoining of one level.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Rejoin {
    doing: Doing,
    /// The door that it is done at, and what lies beyond it.
    at: Option<(DoorId, CompartmentId)>,
    since: i64,
    next: i64,
    joining: Joining,
    /// It has cooled after it was first pressed.
    settled: bool,
}

impl Rejoin {
    /// Puts off the first try while depth is being lost, and people are called together.
    pub fn put_off(&mut self, look: &mut Look, level: usize) {
        look.board.levels[level].called_in = true;
        self.doing = Doing::Nothing;
        self.next = look.now + house_figures::ROUND_S;
    }

    /// A hand has just shut the hull stop: it is tried soon.
    pub fn soon(&mut self, look: &mut Look) {
        self.next = look.now + 60;
        look.wake(self.next);
    }

    /// Looks and acts while the level is held.
    pub fn act(
        &mut self,
        look: &mut Look,
        level: usize,
        target_msw: f64,
        leak: Option<Leaking>,
        banks: &mut Banks,
    ) {
        // What a door was equalised by is shut once it is open.
        for &door in &look.kit.layout.levels[level].within {
            if look.panel.open(door) {
                look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
            }
        }
        let Some((door, near, far)) = shut_off(look, level, leak) else {
            (self.doing, self.at) = (Doing::Nothing, None);
            go_home(look, level);
            return;
        };
        self.turn_to(look, door, far);
        let leaks = leak.filter(|leak| leak.at == far);
        if let Some(hand_at) = leaks.and_then(|leak| leak.hand_at) {
            look.wake(hand_at);
            return;
        }
        let again_s = if leaks.is_some() {
            LEAKS_AGAIN_S
        } else {
            AGAIN_S
        };
        // What was pressed cools, and is pressed once more; what then falls leaks.
        let allowed_msw = if self.settled {
            house_figures::LEAK_CHECK_FALL_MSW
        } else {
            COOLS_SHARE * target_msw
        };
        let fallen = |look: &Look, from: f64| from - look.depth(far) > allowed_msw;
        match self.doing {
            Doing::Nothing => {
                let apart_msw = (look.depth(far) - look.depth(near)).abs();
                if look.now >= self.next && apart_msw <= house_figures::LOSS_MSW {
                    // It holds by itself.
                    self.go(look, Doing::Opening);
                } else if look.now >= self.next {
                    self.settled = false;
                    let from_msw = look.depth(far);
                    let doing = match leaks {
                        Some(_) if from_msw < PROOF_MSW.min(target_msw) => Doing::Proving,
                        Some(_) => Doing::Standing { from_msw },
                        None => Doing::Levelling { from_msw },
                    };
                    self.go(look, doing);
                } else {
                    look.wake(self.next);
                }
            }
            Doing::Proving => {
                if look.now >= self.since + RISES_S {
                    self.leave(look, far, again_s);
                } else if self.has_risen(look, far, PROOF_MSW.min(target_msw), again_s, banks) {
                    let from_msw = look.depth(far);
                    self.go(look, Doing::Standing { from_msw });
                }
            }
            Doing::Standing { from_msw } => {
                if from_msw - look.depth(far) > house_figures::DEPTH_LOW_MSW {
                    self.leave(look, far, again_s);
                } else if look.now >= self.since + STANDS_S {
                    let from_msw = look.depth(far);
                    self.go(look, Doing::Levelling { from_msw });
                } else {
                    let at = self.since + STANDS_S;
                    look.wake(at);
                }
            }
            Doing::Levelling { from_msw } => {
                let pressing_s = (target_msw / PRESS_MSW_S) as i64;
                // What does not rise by a fair share of what it is given only feeds the leak.
                let passed_s = look.now - self.since;
                let due_msw = (target_msw - from_msw).min(PRESS_MSW_S * passed_s as f64);
                let gains = look.depth(far) - from_msw >= RISES_SHARE * due_msw;
                if look.now > self.since + pressing_s + LEVEL_S || passed_s >= RISES_S && !gains {
                    self.leave(look, far, again_s);
                } else if self.has_risen(look, far, target_msw, again_s, banks) {
                    let from_msw = look.depth(far);
                    self.go(look, Doing::Watching { from_msw });
                }
            }
            Doing::Watching { from_msw } => {
                if fallen(look, from_msw) {
                    self.leave(look, far, again_s);
                } else if look.now >= self.since + WATCH_S && self.settled {
                    self.go(look, Doing::Opening);
                } else if look.now >= self.since + WATCH_S {
                    self.settled = true;
                    let from_msw = look.depth(far);
                    self.go(look, Doing::Levelling { from_msw });
                } else {
                    let at = look.now + 60;
                    look.wake(at);
                }
            }
            Doing::Opening => {
                let apart_msw = (look.depth(far) - look.depth(near)).abs();
                if look.now > self.since + TRY_S || apart_msw > house_figures::LOSS_MSW {
                    look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
                    self.leave(look, far, again_s);
                } else if trunk::join(look, door, near, far, &mut self.joining) {
                    self.doing = Doing::Nothing;
                }
            }
        }
    }

    /// What was done at another door is not gone on with at this one: there it is shut.
    fn turn_to(&mut self, look: &mut Look, door: DoorId, far: CompartmentId) {
        match self.at.replace((door, far)) {
            Some((before, beyond)) if before != door => {
                look.valve(ValveName::Equalise(before), 0.0, Purpose::Transfer);
                if self.doing != Doing::Nothing && !look.panel.open(before) {
                    trunk::shut(look, beyond);
                }
                self.doing = Doing::Nothing;
            }
            _ => {}
        }
    }

    /// Presses what lies beyond by its own supply: whether it has come to a depth. It is left where no bank feeds it.
    fn has_risen(
        &mut self,
        look: &mut Look,
        far: CompartmentId,
        to_msw: f64,
        again_s: i64,
        banks: &mut Banks,
    ) -> bool {
        let level = trunk::bring_level(look, far, to_msw, banks);
        if level.is_none() {
            self.leave(look, far, again_s);
        }
        level == Some(true)
    }

    fn go(&mut self, look: &mut Look, doing: Doing) {
        self.doing = doing;
        self.since = look.now;
        let soon = look.now + 1;
        look.wake(soon);
    }

    fn leave(&mut self, look: &mut Look, far: CompartmentId, again_s: i64) {
        trunk::shut(look, far);
        self.doing = Doing::Nothing;
        self.next = look.now + again_s;
        look.wake(self.next);
    }
}

/// The first shut door of the part of a level that is joined to its manned chamber, with the member on this side and the
/// one beyond: what is known to leak comes last.
fn shut_off(
    look: &Look,
    level: usize,
    leak: Option<Leaking>,
) -> Option<(DoorId, CompartmentId, CompartmentId)> {
    if look.is_whole(level) {
        return None;
    }
    let within = &look.kit.layout.levels[level].within;
    let doors = &look.kit.scenario.steel.doors;
    let joined = look.joined(level);
    within
        .iter()
        .filter(|&&d| !look.panel.open(d))
        .filter_map(|&d| {
            let (a, b) = (doors[d.index()].a, doors[d.index()].b?);
            match (joined.contains(&a), joined.contains(&b)) {
                (true, false) => Some((d, a, b)),
                (false, true) => Some((d, b, a)),
                // Both sides are joined round another way: its own gauge says that it is level.
                (true, true) => Some((d, a, b)),
                (false, false) => None,
            }
        })
        .min_by_key(|(_, _, far)| leak.is_some_and(|leak| leak.at == *far))
}

/// All is open again: the living chamber is the manned one, and whoever was called together goes back to his own.
fn go_home(look: &mut Look, level: usize) {
    if !look.board.levels[level].called_in {
        return;
    }
    let refuge = look.home(level);
    let word = &mut look.board.levels[level];
    word.called_in = false;
    word.home = look.kit.layout.levels[level].living;
    look.desk.ring = true;
    for diver in look.crew() {
        if look.panel.whereabouts(diver) == Whereabouts::In(refuge) {
            let to = look.bunk(level, diver);
            look.go(diver, Whereabouts::In(to));
        }
    }
}
