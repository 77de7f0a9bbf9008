//! Holding a level at its depth: a puff when it has fallen, a bleed when it stands too high, and the
//! answer to a fall that a puff does not stop.

use super::banks::{Banks, Need};
use super::context::Look;
use super::house_figures;
use super::valves;
use deepstay_core::record::{Finding, LineName, ValveName, Whereabouts};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// What the hand on the valves is doing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Doing {
    /// Nothing: the depth is in its band.
    #[default]
    Watching,
    /// Making up, since this second and from this depth.
    Puff {
        /// Since when, s.
        since: i64,
        /// Shown then, msw.
        from_msw: f64,
    },
    /// Bleeding down to the target.
    Bleed,
    /// Depth is being lost: supply full on, masks on, doors shut.
    Loss {
        /// Since when, s.
        since: i64,
    },
}

/// State of the hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Hold {
    /// What is being done.
    pub doing: Doing,
    /// Masks were put on for loss of depth, and since when the depth has been back.
    masks: Option<i64>,
    /// Since when puffs are counted, and how many.
    puffs: (i64, u8),
    /// Its gauges were found to differ.
    differ: bool,
}

/// A puff that takes longer than this only feeds a leak, s (house figure).
const PUFF_LONGEST_S: i64 = 300;
/// More puffs than this, of the depth that is made up at a time, in so short a time, and it leaks (house figures:
/// about 2 msw in ten minutes).
const PUFFS_MOST: u8 = 7;
const PUFFS_WITHIN_S: i64 = 600;
/// How soon gauges that differ are looked at again, s.
const GAUGES_AGAIN_S: i64 = 30;

impl Hold {
    /// Shuts what the hold had open.
    pub fn stop(&mut self, look: &mut Look, level: usize) {
        let c = look.kit.layout.levels[level].living;
        look.valve(ValveName::BlowDown(c), 0.0, Purpose::MakeUp);
        look.valve(ValveName::Bleed(c), 0.0, Purpose::Bleed);
        self.doing = Doing::Watching;
    }

    /// Shuts the supply before the level is moved: a puff begun is not to go on against a bleed.
    pub fn let_go(&mut self, look: &mut Look, level: usize) {
        if self.doing != Doing::Watching {
            let c = look.kit.layout.levels[level].living;
            look.valve(ValveName::BlowDown(c), 0.0, Purpose::MakeUp);
            self.doing = Doing::Watching;
        }
    }

    /// Whether the depth is in its band and no masks are on for a loss.
    pub fn quiet(&self) -> bool {
        self.doing == Doing::Watching && self.masks.is_none()
    }

    /// Whether masks are to be on for a loss of depth.
    pub fn wants_masks(&self) -> bool {
        self.masks.is_some()
    }

    /// Whether depth is being lost.
    pub fn losing(&self) -> bool {
        matches!(self.doing, Doing::Loss { .. })
    }

    /// Looks at the depth and acts. `bleed_above` false leaves a high depth alone, as in decompression.
    pub fn act(
        &mut self,
        look: &mut Look,
        level: usize,
        target_msw: f64,
        bleed_above: bool,
        banks: &mut Banks,
    ) {
        let c = look.kit.layout.levels[level].living;
        let Some(depth) = self.agreed_depth(look, level) else {
            return;
        };
        self.masks_off(look, level, depth, target_msw);
        if matches!(self.doing, Doing::Puff { .. } | Doing::Loss { .. }) {
            banks.keep(look, LineName::Supply(c), &make_up(look, c));
        }
        match self.doing {
            Doing::Watching => self.watch(look, level, depth, target_msw, bleed_above),
            Doing::Puff { since, from_msw } => {
                if depth >= target_msw - 0.05 {
                    look.valve(ValveName::BlowDown(c), 0.0, Purpose::MakeUp);
                    self.doing = Doing::Watching;
                    self.stand_by(look, c, target_msw, bleed_above);
                } else if depth <= target_msw - loss_msw(look, level) && depth < from_msw - 0.15
                    || look.now > since + PUFF_LONGEST_S && !lock_takes(look, level)
                {
                    self.depth_lost(look, level);
                } else {
                    self.lean_on_it(look, c, depth, from_msw, since);
                    look.when(look.depth_gauge(c), true, target_msw - 0.05);
                    let at = look.now + if look.now < since + 60 { 10 } else { 30 };
                    look.wake(at);
                }
            }
            Doing::Bleed => {
                if depth <= target_msw + 0.05 {
                    look.valve(ValveName::Bleed(c), 0.0, Purpose::Bleed);
                    self.doing = Doing::Watching;
                    self.stand_by(look, c, target_msw, bleed_above);
                } else {
                    look.when(look.depth_gauge(c), false, target_msw + 0.05);
                    let at = look.now + 60;
                    look.wake(at);
                }
            }
            Doing::Loss { since } => self.regain(look, level, depth, target_msw, since),
        }
    }

    /// The depth that the first gauge shows and another bears out: the second, or that of a chamber open to this
    /// one. None where they contradict each other: nothing is pressed or bled by a gauge alone, for a false one has
    /// killed by the gas poured in against it.
    fn agreed_depth(&mut self, look: &mut Look, level: usize) -> Option<f64> {
        let c = look.kit.layout.levels[level].living;
        let first = look.depth(c);
        let second = look.shown(look.kit.layout.gauges[c.index()].depth[1]);
        let beside = look.beside(level, c);
        let others = beside.iter().filter(|m| look.depth_gauge(**m).is_some());
        let mut others: Vec<f64> = others.map(|&m| look.depth(m)).collect();
        others.extend(second);
        let agree = |a: f64| (a - first).abs() <= house_figures::LOSS_MSW;
        let borne_out = others.is_empty() || others.iter().any(|&o| agree(o));
        if !borne_out {
            if !self.differ {
                look.found(c, Finding::GaugesDiffer);
                self.stop(look, level);
            }
            let later = look.now + GAUGES_AGAIN_S;
            look.wake(later);
        }
        self.differ = !borne_out;
        borne_out.then_some(first)
    }

    fn watch(
        &mut self,
        look: &mut Look,
        level: usize,
        depth: f64,
        target_msw: f64,
        bleed_above: bool,
    ) {
        let layout = &look.kit.layout.levels[level];
        let c = layout.living;
        if depth <= target_msw - house_figures::DEPTH_LOW_MSW {
            if self.leaks(look, level) {
                self.depth_lost(look, level);
                return;
            }
            let opening =
                valves::blow_down(look, c, layout.volume_m3, depth, house_figures::PUFF_MSW_S);
            look.valve(ValveName::BlowDown(c), opening, Purpose::MakeUp);
            self.doing = Doing::Puff {
                since: look.now,
                from_msw: depth,
            };
            look.when(look.depth_gauge(c), true, target_msw - 0.05);
            let at = look.now + 5;
            look.wake(at);
        } else if bleed_above && depth >= target_msw + house_figures::DEPTH_HIGH_MSW {
            let bleed = ValveName::Bleed(c);
            let opening = valves::exhaust(
                look,
                bleed,
                layout.volume_m3,
                depth,
                house_figures::BLEED_MSW_S,
            );
            look.valve(bleed, opening, Purpose::Bleed);
            self.doing = Doing::Bleed;
            look.when(look.depth_gauge(c), false, target_msw + 0.05);
            let at = look.now + 60;
            look.wake(at);
        } else {
            self.stand_by(look, c, target_msw, bleed_above);
        }
    }

    /// Whether so many puffs have been needed in a short time, with no lock taking gas, that there is a leak to be
    /// cut off.
    fn leaks(&mut self, look: &Look, level: usize) -> bool {
        let (since, puffs) = self.puffs;
        if lock_takes(look, level) || look.now > since + PUFFS_WITHIN_S {
            self.puffs = (look.now, 1);
            return false;
        }
        self.puffs = (since, puffs.saturating_add(1));
        let leaks = puffs >= PUFFS_MOST;
        if leaks {
            self.puffs = (look.now, 0);
        }
        leaks
    }

    fn stand_by(&self, look: &mut Look, c: CompartmentId, target_msw: f64, bleed_above: bool) {
        let gauge = look.depth_gauge(c);
        look.when(gauge, false, target_msw - house_figures::DEPTH_LOW_MSW);
        if bleed_above {
            look.when(gauge, true, target_msw + house_figures::DEPTH_HIGH_MSW);
        }
    }

    /// A puff that gains less than half of what it should is opened further.
    fn lean_on_it(&self, look: &mut Look, c: CompartmentId, depth: f64, from_msw: f64, since: i64) {
        let should = house_figures::PUFF_MSW_S * (look.now - since) as f64;
        if look.now - since >= 30 && depth - from_msw < 0.5 * should.min(0.5) {
            let valve = ValveName::BlowDown(c);
            let opening = (look.panel.valve(valve) * 1.5).clamp(0.0, 1.0);
            look.valve(valve, opening, Purpose::MakeUp);
        }
    }

    /// Supply full on at once, then masks, then everybody into the living chamber and the doors, so that what
    /// leaks is cut off.
    fn depth_lost(&mut self, look: &mut Look, level: usize) {
        let c = look.kit.layout.levels[level].living;
        look.valve(ValveName::BlowDown(c), 1.0, Purpose::MakeUp);
        look.found(c, Finding::DepthLost);
        look.desk.ring = true;
        shut_in(look, level);
        self.masks = Some(i64::MAX);
        self.doing = Doing::Loss { since: look.now };
        let at = look.now + 5;
        look.wake(at);
    }

    fn regain(&mut self, look: &mut Look, level: usize, depth: f64, target_msw: f64, since: i64) {
        let layout = &look.kit.layout.levels[level];
        let c = layout.living;
        let valve = ValveName::BlowDown(c);
        let gauge = look.depth_gauge(c);
        shut_in(look, level);
        if depth >= target_msw - 0.1 {
            // Held by throttling: what just balances the loss is found between two looks.
            let opening = look.panel.valve(valve) * if depth > target_msw { 0.5 } else { 0.9 };
            let opening = if opening < 0.002 { 0.0 } else { opening };
            look.valve(valve, opening, Purpose::MakeUp);
            if let Some(i64::MAX) = self.masks {
                self.masks = Some(look.now);
            }
            if opening == 0.0 {
                self.doing = Doing::Watching;
                self.stand_by(look, c, target_msw, true);
                return;
            }
        } else if depth < target_msw - house_figures::DEPTH_LOW_MSW {
            let opening = if look.now < since + 60 {
                1.0
            } else {
                let least =
                    valves::blow_down(look, c, layout.volume_m3, depth, house_figures::PUFF_MSW_S);
                (look.panel.valve(valve) * 1.2).max(least).min(1.0)
            };
            look.valve(valve, opening, Purpose::MakeUp);
        }
        look.when(gauge, true, target_msw + 0.1);
        let at = look.now + 15;
        look.wake(at);
    }

    /// Masks come off once the depth has been back for ten minutes and the gas is fit to breathe.
    fn masks_off(&mut self, look: &mut Look, level: usize, depth: f64, target_msw: f64) {
        let Some(back) = self.masks else { return };
        if back == i64::MAX || depth < target_msw - house_figures::LOSS_MSW {
            return;
        }
        let c = look.kit.layout.levels[level].living;
        let (low, high) = house_figures::EMERGENCY_PPO2_BAR;
        let fit = look.ppo2(c).is_none_or(|p| (low..=high).contains(&p));
        if look.now >= back + 600 && fit {
            self.masks = None;
        } else {
            let at = (back + 600).max(look.now + 60);
            look.wake(at);
        }
    }
}

/// What a chamber's supply line wants of a bank to hold its depth.
pub fn make_up<'a>(look: &Look, c: CompartmentId) -> Need<'a> {
    let plate = &look.kit.scenario.steel.compartments[c.index()];
    Need {
        duties: house_figures::MAKE_UP,
        above_bar: (look.depth(c) * MSW_PA + plate.supply_over_pa) / BAR_PA
            + house_figures::HEEL_BAR,
        o2: (0.0, 0.25),
        best_o2: 0.02,
        but: None,
    }
}

/// Whether a lock or the trunk is being equalised from the level.
fn lock_takes(look: &Look, level: usize) -> bool {
    let around = &look.kit.layout.levels[level].around;
    around
        .iter()
        .any(|&d| look.panel.valve(ValveName::Equalise(d)) > 0.0)
}

/// How far the depth may fall before it is called lost: farther while a lock takes gas.
fn loss_msw(look: &Look, level: usize) -> f64 {
    if lock_takes(look, level) {
        house_figures::LOSS_WITH_LOCK_MSW
    } else {
        house_figures::LOSS_MSW
    }
}

/// Calls those elsewhere in the level into the living chamber, and shuts its doors once nobody is left outside.
fn shut_in(look: &mut Look, level: usize) {
    let layout = &look.kit.layout.levels[level];
    let elsewhere = |look: &Look, d: DiverId| matches!(look.panel.whereabouts(d), Whereabouts::In(c) if c != layout.living && layout.members.contains(&c));
    let mut all_in = true;
    for diver in look.crew() {
        if elsewhere(look, diver) {
            look.go(diver, Whereabouts::In(layout.living));
            all_in = false;
        }
    }
    if all_in {
        for &door in &layout.within {
            look.door(door, false);
        }
    }
}
