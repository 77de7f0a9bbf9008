//! The slow leak: depth is held, and the leak is looked for. What is made up is counted against what locks, trunk,
//! drains and cooling explain; where it comes too often the chambers are shut off from each other for a while, and the one whose
//! gauge falls is named. An examination's marked answer to a slow, constant loss of depth: hold it and look for the
//! leak, neither accept it nor only report it. Counts and lengths are house figures.

use super::context::Look;
use super::house_figures::search as figures;
use deepstay_core::record::{Callee, Finding, ValveName};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// A make-up that nothing explains: when by the clock that runs only while nothing explains one, how much, and how warm
/// it was, K.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct MadeUp {
    counted_s: i64,
    msw: f64,
    t_k: f64,
}

#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Doing {
    #[default]
    Counting,
    /// To be looked for as soon as bell and locks are out of the way.
    Waiting,
    /// The chambers are shut off from each other since then; what each member showed, msw and K, and what the manned
    /// one was given.
    Apart {
        since: i64,
        then: Vec<(f64, f64)>,
        given_msw: f64,
    },
}

/// State of the search of one level.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Search {
    made_up: Vec<MadeUp>,
    doing: Doing,
    /// Nothing made up before this counts: gas was taken or the depth was moved until then.
    counts_from: i64,
    /// Gas that was moved with the depth has settled by then, and make-up that comes fast is a leak.
    settled_from: i64,
    /// It was told of, and is told of again from then on.
    fast_again_from: i64,
    /// What was made up lately, whatever explains it: when, s, and how much, msw.
    lately: Vec<(i64, f64)>,
    /// Time so far in which nothing explains a make-up, s, and up to when it was added up.
    counted_s: i64,
    counted_to: i64,
    /// What is usual, msw/h, and what was made up since that was looked at last.
    usual_msw_h: f64,
    since: (i64, f64),
    /// What the drains had let out by the board when that was looked at last, msw.
    flushed_msw: f64,
}

impl Default for Search {
    fn default() -> Search {
        Search {
            made_up: Vec::new(),
            doing: Doing::default(),
            counts_from: 0,
            settled_from: 0,
            fast_again_from: 0,
            lately: Vec::new(),
            counted_s: 0,
            counted_to: 0,
            usual_msw_h: figures::USUAL_MSW_H,
            since: (0, 0.0),
            flushed_msw: 0.0,
        }
    }
}

impl Search {
    /// Depth was moved, or is lost by something known: the count begins anew after a while.
    pub fn begin_anew(&mut self, now: i64) {
        self.count_to(now);
        self.counts_from = self.counts_from.max(now + figures::SETTLE_S);
        self.settled_from = self.counts_from;
        self.made_up.clear();
        self.lately.clear();
        self.since = (self.counted_s, 0.0);
    }

    /// A lock or the trunk takes gas, or stands open: what is made up for a while after is explained by it.
    pub fn explained(&mut self, now: i64) {
        self.count_to(now);
        self.counts_from = self.counts_from.max(now + figures::AFTER_LOCK_S);
    }

    fn count_to(&mut self, now: i64) {
        self.counted_s += (now - self.counted_to.max(self.counts_from)).max(0);
        self.counted_to = now;
    }

    /// So much was made up.
    pub fn made_up(&mut self, look: &mut Look, level: usize, msw: f64) {
        if let Doing::Apart { given_msw, .. } = &mut self.doing {
            *given_msw += msw;
            return;
        }
        self.count_to(look.now);
        if self.doing != Doing::Counting {
            return;
        }
        let home = look.home(level);
        if self.comes_fast(look.now, msw) {
            // Chambers are not shut off for it: what leaks so fast would be lost meanwhile. Somebody goes round outside.
            look.found(home, Finding::MakeUpRises);
            look.tell(Callee::OutsideHand, home, Finding::MakeUpRises);
            self.lately.clear();
            self.fast_again_from = look.now + figures::AGAIN_S;
        }
        let flushed_msw = look.board.levels[level].flushed_msw;
        let msw = msw - (flushed_msw - std::mem::replace(&mut self.flushed_msw, flushed_msw));
        if look.now < self.counts_from {
            return;
        }
        let t_k = look.temperature_k(home).unwrap_or(0.0);
        let counted_s = self.counted_s;
        self.made_up
            .retain(|m| counted_s - m.counted_s <= figures::WITHIN_S);
        self.made_up.push(MadeUp {
            counted_s,
            msw,
            t_k,
        });
        let hours = figures::WITHIN_S as f64 / 3600.0;
        let usual_msw = self.usual_msw_h * hours;
        let sum: f64 = self.made_up.iter().map(|m| m.msw).sum();
        let last = self.made_up.iter().rev().nth(figures::TIMES - 1);
        let spread = last.is_some_and(|m| counted_s - m.counted_s >= figures::SPREAD_S);
        let unexplained = sum - self.cooled_msw(look, home).max(0.0);
        let more_msw = figures::MORE_SHARE * usual_msw + figures::MORE_MSW;
        if spread && unexplained >= usual_msw + more_msw {
            look.found(home, Finding::MakeUpRises);
            self.made_up.clear();
            self.doing = Doing::Waiting;
            let soon = look.now + 1;
            look.wake(soon);
        }
        self.learn(msw);
    }

    /// Whether it is made up so often in so short a time that there must be a leak.
    fn comes_fast(&mut self, now: i64, msw: f64) -> bool {
        if now < self.settled_from.max(self.fast_again_from) {
            return false;
        }
        self.lately.retain(|(at, _)| now - at <= figures::FAST_S);
        self.lately.push((now, msw));
        let sum: f64 = self.lately.iter().map(|(_, msw)| msw).sum();
        self.lately.len() >= figures::FAST_TIMES && sum >= figures::FAST_MSW
    }

    /// What is usual follows what is made up, slowly.
    fn learn(&mut self, msw: f64) {
        let (from_s, before) = self.since;
        let made_up = before + msw;
        let passed_s = self.counted_s - from_s;
        if passed_s < figures::WITHIN_S {
            self.since.1 = made_up;
            return;
        }
        let rate = made_up / (passed_s as f64 / 3600.0);
        self.usual_msw_h += figures::LEARNS * (rate - self.usual_msw_h);
        self.since = (self.counted_s, 0.0);
    }

    /// How far the depth fell by itself since the first of what was made up, as the gas cooled, msw: at one volume
    /// pressure goes as temperature.
    fn cooled_msw(&self, look: &Look, home: CompartmentId) -> f64 {
        let (Some(first), Some(last)) = (self.made_up.first(), self.made_up.last()) else {
            return 0.0;
        };
        if first.t_k <= 0.0 {
            return 0.0;
        }
        let p_msw = look.kit.scenario.steel.surface_pa / MSW_PA + look.depth(home);
        p_msw * (first.t_k - last.t_k) / first.t_k
    }

    /// Whether doors of the level are kept shut for the search.
    pub fn keeps_apart(&self) -> bool {
        matches!(self.doing, Doing::Apart { .. })
    }

    /// Looks and acts while the level is held; `busy` while a lock, the trunk or the bell needs it. Gives what leaks,
    /// once it is found.
    pub fn act(&mut self, look: &mut Look, level: usize, busy: bool) -> Option<CompartmentId> {
        match &self.doing {
            Doing::Counting => None,
            Doing::Waiting => {
                let within = &look.kit.layout.levels[level].within;
                let apart = within.iter().any(|&d| !look.panel.open(d));
                if busy || apart {
                    let later = look.now + 600;
                    look.wake(later);
                } else {
                    self.part(look, level);
                }
                None
            }
            Doing::Apart { .. } if busy => {
                // Begun anew when there is time for it.
                self.doing = Doing::Waiting;
                let later = look.now + 600;
                look.wake(later);
                None
            }
            Doing::Apart {
                since,
                then,
                given_msw,
            } => {
                let over = since + figures::APART_S;
                if look.now < over {
                    look.wake(over);
                    return None;
                }
                let found = which_falls(look, level, then, *given_msw);
                self.name(look, level, found)
            }
        }
    }

    fn part(&mut self, look: &mut Look, level: usize) {
        let layout = &look.kit.layout.levels[level];
        let gauge = |c: &CompartmentId| look.depth_gauge(*c).is_some();
        if layout.within.is_empty() || !layout.members.iter().all(gauge) {
            self.name(look, level, None);
            return;
        }
        for &door in &layout.within {
            look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
            look.door(door, false);
        }
        let shown = |c: &CompartmentId| {
            let t_k = look.temperature_k(*c).unwrap_or(0.0);
            (look.depth(*c), t_k)
        };
        let then = layout.members.iter().map(shown).collect();
        self.doing = Doing::Apart {
            since: look.now,
            then,
            given_msw: 0.0,
        };
        let over = look.now + figures::APART_S;
        look.wake(over);
    }

    fn name(
        &mut self,
        look: &mut Look,
        level: usize,
        found: Option<CompartmentId>,
    ) -> Option<CompartmentId> {
        match found {
            Some(c) => {
                look.found(c, Finding::LeakHere);
                look.tell(Callee::OutsideHand, c, Finding::LeakHere);
            }
            None => look.found(look.home(level), Finding::NoLeakFound),
        }
        self.doing = Doing::Counting;
        self.begin_anew(look.now);
        self.counts_from = look.now + figures::AGAIN_S;
        found
    }
}

/// The member that has fallen most since they were shut off from each other, cooling taken off, if it has fallen
/// clearly more than any other.
fn which_falls(
    look: &Look,
    level: usize,
    then: &[(f64, f64)],
    given_msw: f64,
) -> Option<CompartmentId> {
    let home = look.home(level);
    let surface_msw = look.kit.scenario.steel.surface_pa / MSW_PA;
    let members = &look.kit.layout.levels[level].members;
    let fallen = members.iter().zip(then).map(|(&c, &(was_msw, was_k))| {
        let warmed = match look.temperature_k(c) {
            Some(now_k) if was_k > 0.0 => now_k / was_k,
            _ => 1.0,
        };
        let would_be = (was_msw + surface_msw) * warmed - surface_msw;
        let given = if c == home { given_msw } else { 0.0 };
        (would_be - look.depth(c) + given, c)
    });
    let mut fallen: Vec<(f64, CompartmentId)> = fallen.collect();
    fallen.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (most, c) = *fallen.first()?;
    let next = fallen.get(1).map_or(0.0, |f| f.0);
    (most >= figures::FALL_MSW && most >= next + figures::FALL_MSW).then_some(c)
}
