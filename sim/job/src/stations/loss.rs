//! The answer to a loss of depth: the manned chamber's blow-down full on at once with whatever gas is at hand, people
//! on BIBS and together in a sound chamber with its door shut, that chamber held; the leaking one let go, its hull
//! stop shut by an outside hand, dive control told.
//!
//! What is the right act, and which acts are wrong: an examination's marked answer (any gas, at once, and somebody
//! sent to find it), and the case of a blow-down opened full over a leaking bell in 1981. How long a hand takes is a
//! house figure.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

use super::banks::Banks;
use super::context::Look;
use super::house_figures;
use super::layout::neighbours;
use super::make_up::make_up;
use super::surface;
use super::trunk::{self, Joining};
use super::valves;
use deepstay_core::record::{Callee, Finding, LineName, ValveName, Whereabouts};
use deepstay_core::units::*;
use deepstay_plant::SteelOrder;
use serde::{Deserialize, Serialize};

/// How long doors have been shut before gauges tell which side leaks, s (house figure).
const TELLS_S: i64 = 60;

/// A loss under way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Loss {
    since: i64,
    /// When the outside hand is at the vessel.
    hand_at: i64,
    /// What leaks, as far as is known.
    leaking: Option<CompartmentId>,
    /// Since when everybody is in the manned chamber.
    all_in: Option<i64>,
    /// Since when the manned chamber has been shut off, and what each member of the level showed then.
    shut: Option<(i64, Vec<f64>)>,
    joining: Joining,
    /// The door that everybody is to cross over by, and the chamber beyond it.
    crossing: Option<(DoorId, CompartmentId)>,
}

/// A leak that was found, and whether its hull stop was seen to.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Leaking {
    /// Where.
    pub at: CompartmentId,
    /// When a hand will be at its hull stop; none once he has been.
    pub hand_at: Option<i64>,
}

impl Loss {
    /// Opens the supply at once, then calls.
    pub fn begin(
        look: &mut Look,
        level: usize,
        banks: &mut Banks,
        masks: &mut Option<i64>,
        noise_in: Option<CompartmentId>,
        hand_s: i64,
    ) -> Loss {
        let home = look.home(level);
        full_on(look, home, banks);
        look.found(home, Finding::DepthLost);
        look.tell(Callee::DiveControl, home, Finding::DepthLost);
        look.tell(Callee::OutsideHand, home, Finding::DepthLost);
        look.desk.ring = true;
        *masks = Some(i64::MAX);
        let mut loss = Loss {
            since: look.now,
            hand_at: look.now + hand_s,
            leaking: None,
            all_in: None,
            shut: None,
            joining: None,
            crossing: None,
        };
        loss.hear(look, level, noise_in, banks);
        let soon = look.now + 5;
        look.wake(soon);
        loss
    }

    /// What leaks, once it is known, and when a hand is there.
    pub fn leaking(&self) -> Option<Leaking> {
        let at = self.leaking?;
        let hand_at = Some(self.hand_at);
        Some(Leaking { at, hand_at })
    }

    /// A voice says where the noise is: if that is the manned chamber, everybody goes to the next.
    fn hear(
        &mut self,
        look: &mut Look,
        level: usize,
        noise_in: Option<CompartmentId>,
        banks: &mut Banks,
    ) {
        if let Some(c) = noise_in
            && self.leaking.is_none()
        {
            self.found_at(look, level, c, banks);
        }
    }

    fn found_at(&mut self, look: &mut Look, level: usize, c: CompartmentId, banks: &mut Banks) {
        self.leaking = Some(c);
        if c != look.home(level) {
            return;
        }
        if let Some(refuge) = refuge(look, level, c) {
            look.found(c, Finding::ChamberLeaks);
            look.board.levels[level].home = refuge;
            (self.all_in, self.shut) = (None, None);
            full_on(look, refuge, banks);
            // Their masks are to give gas as soon as they are through the door.
            let depth_msw = look.depth(refuge);
            surface::masks_line(look, refuge, depth_msw, banks);
        }
    }

    /// Holds the manned chamber, and sees to the rest. True when the depth is held without a supply.
    pub fn act(
        &mut self,
        look: &mut Look,
        level: usize,
        (depth, target_msw): (f64, f64),
        noise_in: Option<CompartmentId>,
        banks: &mut Banks,
        masks: &mut Option<i64>,
    ) -> bool {
        self.hear(look, level, noise_in, banks);
        // While everybody is to cross over, the door is not shut again nor what is beyond it let go; whoever does not go
        // on with it comes back to both at the next look.
        let alone = match self.crossing.take() {
            Some(way) => {
                self.cross_over(look, level, way, banks);
                false
            }
            None => {
                let alone = self.shut_in(look, level);
                if alone || depth >= target_msw {
                    self.let_go(look, level);
                }
                if alone {
                    self.tell_apart(look, level, target_msw, banks);
                }
                alone
            }
        };
        let home = look.home(level);
        let valve = ValveName::BlowDown(home);
        if depth >= target_msw - 0.1 {
            // Held by throttling: what just balances the loss is found between two looks.
            let opening = look.panel.valve(valve) * if depth > target_msw { 0.5 } else { 0.9 };
            let opening = if opening < 0.002 { 0.0 } else { opening };
            look.valve(valve, opening, Purpose::MakeUp);
            if let Some(i64::MAX) = masks {
                *masks = Some(look.now);
                look.found(home, Finding::DepthHeld);
            }
            let told = self
                .shut
                .as_ref()
                .is_some_and(|(since, _)| look.now >= since + TELLS_S);
            let elsewhere = self.leaking.is_some_and(|c| c != home);
            if opening == 0.0 && alone && (told || elsewhere) {
                return true;
            }
        } else if depth < target_msw - house_figures::DEPTH_LOW_MSW {
            let opening = if look.now < self.since + 60 {
                1.0
            } else {
                let volume_m3 = look.volume_m3(level);
                let least =
                    valves::blow_down(look, home, volume_m3, depth, house_figures::PUFF_MSW_S);
                (look.panel.valve(valve) * 1.2).max(least).min(1.0)
            };
            look.valve(valve, opening, Purpose::MakeUp);
            if opening == 1.0 {
                full_on(look, home, banks);
            }
        }
        let gauge = look.depth_gauge(home);
        look.when(gauge, true, target_msw + 0.1);
        look.when(gauge, false, target_msw - house_figures::DEPTH_LOW_MSW);
        let at = look.now + 15;
        look.wake(at);
        false
    }

    /// Calls those elsewhere in the level into the manned chamber, and has its doors shut once nobody is left outside:
    /// each takes its time. True when they are shut.
    fn shut_in(&mut self, look: &mut Look, level: usize) -> bool {
        let home = look.home(level);
        let layout = &look.kit.layout.levels[level];
        let there = self.since + house_figures::CROSS_S;
        if look.now < there {
            look.wake(there);
            return false;
        }
        let elsewhere = |look: &Look, d: &DiverId| matches!(look.panel.whereabouts(*d), Whereabouts::In(c) if c != home && layout.members.contains(&c));
        let outside: Vec<DiverId> = look.crew().filter(|d| elsewhere(look, d)).collect();
        for &diver in &outside {
            look.go(diver, Whereabouts::In(home));
        }
        if !outside.is_empty() {
            self.all_in = None;
            let soon = look.now + 1;
            look.wake(soon);
            return false;
        }
        let shuts = *self.all_in.get_or_insert(look.now) + house_figures::SHUT_DOOR_S;
        if look.now < shuts {
            look.wake(shuts);
            return false;
        }
        let mut shut = true;
        for &door in &layout.within {
            shut &= !look.panel.open(door);
            look.door(door, false);
            let being_joined = self.joining.is_some_and(|joint| joint.is_at(door));
            if !being_joined {
                look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
            }
        }
        shut
    }

    /// Nobody is left beyond the door, or the depth is back: what was opened there is shut, and the chamber is let go.
    fn let_go(&mut self, look: &mut Look, level: usize) {
        let home = look.home(level);
        for &c in &look.kit.layout.levels[level].members {
            if c != home {
                look.valve(ValveName::BlowDown(c), 0.0, Purpose::MakeUp);
            }
        }
    }

    /// Which side of the shut door leaks: the manned one where it alone goes on wanting gas while the other stands
    /// still.
    fn tell_apart(&mut self, look: &mut Look, level: usize, target_msw: f64, banks: &mut Banks) {
        let home = look.home(level);
        if self.leaking.is_some_and(|c| c != home) {
            return;
        }
        let members = &look.kit.layout.levels[level].members;
        let (since, then) = self
            .shut
            .get_or_insert_with(|| (look.now, members.iter().map(|&m| look.depth(m)).collect()));
        if look.now < *since + TELLS_S {
            look.wake(*since + TELLS_S);
            return;
        }
        let fallen = |&(i, &m): &(usize, &CompartmentId)| {
            m != home && then[i] - look.depth(m) > house_figures::DEPTH_LOW_MSW
        };
        let falls = members.iter().enumerate().find(fallen);
        let wants = look.panel.valve(ValveName::BlowDown(home)) > 0.02;
        let held = look.depth(home) >= target_msw - house_figures::LOSS_MSW;
        match falls {
            Some((_, &m)) => self.leaking = Some(m),
            None if wants && held => {
                if let Some(way) = beyond(look, level, home) {
                    self.cross_over(look, level, way, banks);
                }
            }
            None => {}
        }
    }

    /// The leak is on this side of the door: what is beyond is brought level where it has fallen behind, the door is
    /// opened again, and everybody goes through.
    fn cross_over(
        &mut self,
        look: &mut Look,
        level: usize,
        (door, beyond): (DoorId, CompartmentId),
        banks: &mut Banks,
    ) {
        let home = look.home(level);
        let depth_msw = look.depth(home);
        let near = (look.depth(beyond) - depth_msw).abs() <= house_figures::LOSS_MSW;
        let goes_on = if look.panel.open(door) || near && trunk::still(look, beyond) {
            let open = trunk::join(look, door, home, beyond, &mut self.joining);
            if open {
                self.found_at(look, level, home, banks);
            }
            !open
        } else {
            trunk::bring_level(look, beyond, depth_msw, banks).is_some()
        };
        self.crossing = goes_on.then_some((door, beyond));
    }
}

impl Leaking {
    /// Shuts the hull stop once the hand is there. True when it was ordered now.
    pub fn stop(&mut self, look: &mut Look) -> bool {
        let Some(at) = self.hand_at else {
            return false;
        };
        if look.now < at {
            look.wake(at);
            return false;
        }
        self.hand_at = None;
        look.steel(SteelOrder::HullStop {
            compartment: self.at,
            shut: true,
        });
        true
    }
}

/// A chamber's supply full on: from the bank that is lined up, or any that has gas to give.
fn full_on(look: &mut Look, c: CompartmentId, banks: &mut Banks) {
    let need = make_up(look, c);
    let line = LineName::Supply(c);
    let feeds = |bank: BankId| look.bank_bar(bank).is_none_or(|bar| bar > need.above_bar);
    if !look.panel.lined_up(line).is_some_and(feeds) {
        banks.any(look, line, need.above_bar);
    }
    look.valve(ValveName::BlowDown(c), 1.0, Purpose::MakeUp);
}

/// A chamber open to this one that people can live in and that can be held.
fn refuge(look: &Look, level: usize, c: CompartmentId) -> Option<CompartmentId> {
    let plates = &look.kit.scenario.steel.compartments;
    let fit = |m: &CompartmentId| {
        let plate = &plates[m.index()];
        plate.blow_down_m2 > 0.0
            && matches!(
                plate.kind,
                CompartmentKind::Living | CompartmentKind::Transfer | CompartmentKind::Rescue
            )
    };
    let rank = |m: &CompartmentId| match plates[m.index()].kind {
        CompartmentKind::Living => 0,
        CompartmentKind::Transfer => 1,
        _ => 2,
    };
    look.beside(level, c)
        .into_iter()
        .filter(fit)
        .min_by_key(rank)
}

/// A shut door of the manned chamber within its level, and the chamber beyond it.
fn beyond(look: &Look, level: usize, home: CompartmentId) -> Option<(DoorId, CompartmentId)> {
    let within = &look.kit.layout.levels[level].within;
    neighbours(&look.kit.scenario.steel, home)
        .find(|(door, _)| within.contains(door) && !look.panel.open(*door))
}
