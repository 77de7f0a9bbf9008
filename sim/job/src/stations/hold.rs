//! Holding a level at its depth: a puff when it has fallen, a bleed when it stands too high; what a puff does not stop
//! is a loss of depth, and what is made up too often a leak to be looked for.

use super::banks::Banks;
use super::context::Look;
use super::house_figures;
use super::loss::{Leaking, Loss};
use super::make_up::make_up;
use super::oxygen_read;
use super::search::Search;
use super::valves;
use crate::random::Draw;
use deepstay_core::record::{Finding, LineName, Spoken, ValveName, Whereabouts};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// What the hand on the valves is doing.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Doing {
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
    Loss(Loss),
}

/// State of the hold.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hold {
    doing: Doing,
    /// Masks were put on for loss of depth, and since when the depth has been back.
    masks: Option<i64>,
    /// Since when puffs are counted, and how many.
    puffs: (i64, u8),
    /// A leak that was found.
    leak: Option<Leaking>,
    search: Search,
    /// When somebody in the level last spoke of gas noise, and where he was.
    noise: Option<(i64, CompartmentId)>,
    /// The least depth shown since gas was last given, msw, and since when it is gone by, s.
    low: Option<(i64, f64)>,
    /// The supply's valve does not shut: the line stands under a bank only while gas is given.
    by_line: bool,
    /// How long outside hands take.
    hand_takes: Draw,
}

/// A depth that rises by so much in so short a time, and nobody gives gas, is fed by something (house figures).
const CLIMBS_MSW: f64 = 0.5;
const CLIMBS_WITHIN_S: i64 = 300;
/// A puff that takes longer than this only feeds a leak, s (house figure).
const PUFF_LONGEST_S: i64 = 300;
/// More puffs than this, of the depth that is made up at a time, in so short a time, and it leaks (house figures:
/// about 2 msw in ten minutes).
const PUFFS_MOST: u8 = 7;
const PUFFS_WITHIN_S: i64 = 600;
/// How long gas noise that was spoken of is gone by, s (house figure).
const NOISE_S: i64 = 300;

impl Hold {
    /// Nothing open.
    pub fn new(hand_takes: Draw) -> Hold {
        Hold {
            doing: Doing::default(),
            masks: None,
            puffs: (0, 0),
            leak: None,
            search: Search::default(),
            noise: None,
            low: None,
            by_line: false,
            hand_takes,
        }
    }

    /// Shuts what the hold had open; the depth is moved, or not gone by for now.
    pub fn stop(&mut self, look: &mut Look, level: usize) {
        let c = look.home(level);
        look.valve(ValveName::BlowDown(c), 0.0, Purpose::MakeUp);
        look.valve(ValveName::Bleed(c), 0.0, Purpose::Bleed);
        self.doing = Doing::Watching;
        self.search.begin_anew(look.now);
    }

    /// Nothing known of what somebody else did here before; a leak that was found is not forgotten.
    pub fn begin_anew(&mut self, now: i64) {
        self.doing = Doing::Watching;
        self.masks = None;
        self.puffs = (now, 0);
        self.noise = None;
        self.low = None;
        self.search.begin_anew(now);
    }

    /// Shuts the supply before the level is moved: a puff begun is not to go on against a bleed.
    pub fn let_go(&mut self, look: &mut Look, level: usize) {
        if self.doing != Doing::Watching {
            let c = look.home(level);
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
        matches!(self.doing, Doing::Loss(_))
    }

    /// Whether a loss of depth is not over yet: it is being lost, or masks are still on for it.
    pub fn unsteady(&self) -> bool {
        self.losing() || self.masks.is_some()
    }

    /// The leak that was found, if one was.
    pub fn leak(&self) -> Option<Leaking> {
        self.leak
    }

    /// Whether doors of the level are kept shut for the search of a slow leak.
    pub fn keeps_apart(&self) -> bool {
        self.search.keeps_apart()
    }

    /// Sees to the hull stop of a leak that was found. True when it was shut now.
    pub fn stop_leak(&mut self, look: &mut Look) -> bool {
        self.leak.as_mut().is_some_and(|leak| leak.stop(look))
    }

    /// Looks for a slow leak while the level is held and no lock, trunk or bell needs it.
    pub fn look_for_leak(&mut self, look: &mut Look, level: usize) {
        let busy = is_open_outward(look, level)
            || lock_takes(look, level)
            || look.board.levels[level].by_gauge.is_some()
            || look.now < look.board.levels[level].washes_until_s;
        if let Some(at) = self.search.act(look, level, busy) {
            let hand_at = Some(look.now + self.hand_s());
            self.leak = Some(Leaking { at, hand_at });
        }
    }

    fn hand_s(&mut self) -> i64 {
        let (least, most) = house_figures::HAND_S;
        self.hand_takes.between(least, most) as i64
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
        let c = look.home(level);
        let depth = look.depth(c);
        self.listen(look, level);
        if is_open_outward(look, level) || lock_takes(look, level) {
            self.search.explained(look.now);
        }
        self.masks_off(look, level, depth, target_msw);
        if matches!(self.doing, Doing::Puff { .. }) {
            banks.keep(look, LineName::Supply(c), &make_up(look, c));
        }
        match &mut self.doing {
            Doing::Watching => self.watch(look, level, depth, target_msw, bleed_above, banks),
            &mut Doing::Puff { since, from_msw } => {
                if depth >= target_msw - 0.05 {
                    look.valve(ValveName::BlowDown(c), 0.0, Purpose::MakeUp);
                    if self.by_line {
                        look.line_off(LineName::Supply(c));
                    }
                    self.doing = Doing::Watching;
                    self.search.made_up(look, level, depth - from_msw);
                    self.stand_by(look, c, target_msw, bleed_above);
                } else if depth <= target_msw - loss_msw(look, level) && depth < from_msw - 0.15
                    || look.now > since + PUFF_LONGEST_S && !lock_takes(look, level)
                {
                    self.depth_lost(look, level, banks);
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
            Doing::Loss(loss) => {
                let noise_in = self.noise.map(|(_, c)| c);
                let over = loss.act(
                    look,
                    level,
                    (depth, target_msw),
                    noise_in,
                    banks,
                    &mut self.masks,
                );
                let known = self.leak.map(|leak| leak.at);
                if let Some(leaking) = loss.leaking()
                    && known != Some(leaking.at)
                {
                    self.leak = Some(leaking);
                }
                if over {
                    self.doing = Doing::Watching;
                    self.search.begin_anew(look.now);
                    self.stand_by(look, look.home(level), target_msw, true);
                }
            }
        }
    }

    /// Hears where gas noise is, and goes by it for a while.
    fn listen(&mut self, look: &Look, level: usize) {
        let members = &look.kit.layout.levels[level].members;
        self.noise = self.noise.filter(|(at, _)| look.now < at + NOISE_S);
        for &(at, diver, report) in look.panel.said() {
            if let (Spoken::GasNoise, Whereabouts::In(c)) = (report, look.panel.whereabouts(diver))
                && members.contains(&c)
            {
                self.noise = Some((at, c));
            }
        }
    }

    fn watch(
        &mut self,
        look: &mut Look,
        level: usize,
        depth: f64,
        target_msw: f64,
        bleed_above: bool,
        banks: &mut Banks,
    ) {
        let c = look.home(level);
        if depth <= target_msw - house_figures::DEPTH_LOW_MSW {
            if self.noise.is_some() || self.leaks(look, level) {
                self.depth_lost(look, level, banks);
                return;
            }
            if self.by_line {
                banks.keep(look, LineName::Supply(c), &make_up(look, c));
            }
            let volume_m3 = look.volume_m3(level);
            let opening = valves::blow_down(look, c, volume_m3, depth, house_figures::PUFF_MSW_S);
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
            let volume_m3 = look.volume_m3(level);
            let opening =
                valves::exhaust(look, bleed, volume_m3, depth, house_figures::BLEED_MSW_S);
            look.valve(bleed, opening, Purpose::Bleed);
            self.doing = Doing::Bleed;
            look.when(look.depth_gauge(c), false, target_msw + 0.05);
            let at = look.now + 60;
            look.wake(at);
        } else {
            self.stand_by(look, c, target_msw, bleed_above);
        }
    }

    /// Looks whether the depth climbs though nobody gives gas: by the blow-down, as oxygen, or through a door.
    pub fn look_for_climb(&mut self, look: &mut Look, level: usize) {
        let given = matches!(self.doing, Doing::Puff { .. } | Doing::Loss(_))
            || is_open_outward(look, level)
            || lock_takes(look, level)
            || gives_gas(look, level);
        if given {
            self.low = None;
            return;
        }
        let gauge = look.depth_gauge(look.home(level));
        let depth = look.depth(look.home(level));
        let known = self
            .low
            .filter(|(since, low)| look.now <= since + CLIMBS_WITHIN_S && depth > *low);
        let mut low = known.unwrap_or((look.now, depth));
        if depth >= low.1 + CLIMBS_MSW {
            self.shut_off(look, level);
            low = (look.now, depth);
        }
        // At full quarters, so that what is waited for does not change with every reading.
        look.when(gauge, true, (4.0 * (low.1 + CLIMBS_MSW)).ceil() / 4.0);
        self.low = Some(low);
    }

    /// What nobody gives comes by a valve that does not shut: every supply of what is joined is shut off at the bank.
    fn shut_off(&mut self, look: &mut Look, level: usize) {
        let fed: Vec<CompartmentId> = look.joined(level);
        let fed = fed.into_iter().map(LineName::Supply);
        let fed: Vec<LineName> = fed
            .filter(|line| look.panel.lined_up(*line).is_some())
            .collect();
        if fed.is_empty() {
            return;
        }
        look.found(look.home(level), Finding::DepthClimbs);
        for line in fed {
            look.line_off(line);
        }
        self.by_line = true;
    }

    /// Whether the supply is to stand under a bank between puffs.
    pub fn stands_ready(&self) -> bool {
        !self.by_line
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

    fn depth_lost(&mut self, look: &mut Look, level: usize, banks: &mut Banks) {
        let hand_s = self.hand_s();
        let noise_in = self.noise.map(|(_, c)| c);
        let loss = Loss::begin(look, level, banks, &mut self.masks, noise_in, hand_s);
        self.leak = loss.leaking();
        self.doing = Doing::Loss(loss);
    }

    /// Masks come off once the depth has been back for ten minutes and the gas is fit to breathe.
    fn masks_off(&mut self, look: &mut Look, level: usize, depth: f64, target_msw: f64) {
        let Some(back) = self.masks else { return };
        if back == i64::MAX || depth < target_msw - house_figures::LOSS_MSW {
            return;
        }
        let c = look.home(level);
        let oxygen = oxygen_read::read(look, level, c);
        let fit = !oxygen.is_some_and(|o| o.unfit(house_figures::EMERGENCY_PPO2_BAR));
        if look.now >= back + 600 && fit {
            self.masks = None;
        } else {
            let at = (back + 600).max(look.now + 60);
            look.wake(at);
        }
    }
}

/// Whether the level is open to a lock or the trunk.
fn is_open_outward(look: &Look, level: usize) -> bool {
    let around = &look.kit.layout.levels[level].around;
    around.iter().any(|&d| look.panel.open(d))
}

/// Whether somebody gives gas or oxygen by a valve of the level.
fn gives_gas(look: &Look, level: usize) -> bool {
    let members = &look.kit.layout.levels[level].members;
    let given = |valve| look.panel.valve(valve) > 0.0;
    members
        .iter()
        .any(|&c| given(ValveName::BlowDown(c)) || given(ValveName::Oxygen(c)))
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
