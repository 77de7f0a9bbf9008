//! Lock runs: meals, laundry and stores go through the locks by a sequence led from outside. Each
//! phase waits for the lock's own gauge; a door is asked for and its lamp looked at.

use super::context::Look;
use super::house_figures::SURFACE_MSW;
use super::house_figures::{lock as lengths, sampled};
use super::layout::LockLayout;
use crate::random::Draw;
use deepstay_core::record::{Routine, ValveName, What};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// Most runs that wait for one lock.
const QUEUE: usize = 4;

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Step {
    /// Nothing asked.
    #[default]
    Idle,
    /// Being brought to surface pressure.
    Venting,
    /// Outer door open, being loaded.
    Loading,
    /// Outer door shut, pressure let in from the chamber.
    Equalising,
    /// Inner door open, being emptied.
    Inside,
    /// Inner door shut, vented, with what came out.
    GoingOut,
    /// Outer door open, being emptied.
    Unloading,
}

/// State of one lock.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LockState {
    step: Step,
    /// Second by which the step is over, or is looked into.
    until: i64,
    /// When the gauge first showed what is waited for.
    shown_at: Option<i64>,
    waiting: [Option<Routine>; QUEUE],
    /// This run's phases take so many times their usual length.
    takes: f64,
}

impl LockState {
    /// Puts a run in the queue; one too many is left out.
    pub fn ask(&mut self, routine: Routine) {
        if let Some(free) = self.waiting.iter_mut().find(|w| w.is_none()) {
            *free = Some(routine);
        }
    }

    /// Whether a run is under way or waits.
    pub fn runs(&self) -> bool {
        self.step != Step::Idle || self.waiting[0].is_some()
    }

    /// Whether no more runs can wait for it.
    pub fn is_full(&self) -> bool {
        self.waiting.iter().all(Option::is_some)
    }

    /// Goes on from how its doors are found, after somebody else sat here: shut off from both sides it is vented and
    /// opened outward, and what was in it comes out.
    pub fn find_its_feet(&mut self, look: &mut Look, lock: &LockLayout) {
        for door in [lock.inner, lock.outer] {
            look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
        }
        let (step, until) = match () {
            () if look.panel.open(lock.inner) => (Step::Inside, look.now + 1),
            () if look.panel.open(lock.outer) => (Step::Unloading, look.now + 1),
            () if look.depth(lock.lock) > SURFACE_MSW => (Step::GoingOut, look.now + 1),
            () => (Step::Idle, 0),
        };
        *self = LockState {
            step,
            until,
            shown_at: None,
            takes: 1.0,
            ..*self
        };
    }

    /// Looks and acts. `allowed` false starts no new run, but a run begun is brought to its end.
    /// How long its phases take is sampled from `draw`, once a run.
    pub fn act(&mut self, look: &mut Look, lock: &LockLayout, allowed: bool, draw: &mut Draw) {
        match self.step {
            Step::Idle => {
                if allowed && let Some(routine) = self.waiting[0] {
                    self.waiting.rotate_left(1);
                    self.waiting[QUEUE - 1] = None;
                    let (least, most) = sampled::LOCK_SHARE;
                    self.takes = draw.between(least, most);
                    look.write(What::Routine {
                        compartment: lock.lock,
                        routine,
                        diver: None,
                    });
                    look.door(lock.inner, false);
                    self.vent(look, lock, Step::Venting);
                }
            }
            Step::Venting => self.vented(look, lock, Step::Loading, self.takes_s(lengths::LOAD_S)),
            Step::Loading => {
                if self.over(look) {
                    look.door(lock.outer, false);
                    self.go(look, Step::Equalising, lengths::EQUAL_S);
                    self.await_equal(look, lock);
                }
            }
            Step::Equalising => self.equalise(look, lock),
            Step::Inside => {
                if self.over(look) {
                    look.door(lock.inner, false);
                    self.vent(look, lock, Step::GoingOut);
                }
            }
            Step::GoingOut => {
                self.vented(look, lock, Step::Unloading, self.takes_s(lengths::UNLOAD_S))
            }
            Step::Unloading => {
                if self.over(look) {
                    look.door(lock.outer, false);
                    self.step = Step::Idle;
                    if self.waiting[0].is_some() {
                        let at = look.now + 1;
                        look.wake(at);
                    }
                }
            }
        }
    }

    fn go(&mut self, look: &mut Look, step: Step, for_s: i64) {
        self.step = step;
        self.shown_at = None;
        self.until = look.now + for_s;
        look.wake(self.until);
    }

    /// A length of this run.
    fn takes_s(&self, usual_s: i64) -> i64 {
        (usual_s as f64 * self.takes) as i64
    }

    fn over(&self, look: &mut Look) -> bool {
        if look.now < self.until {
            look.wake(self.until);
        }
        look.now >= self.until
    }

    fn vent(&mut self, look: &mut Look, lock: &LockLayout, step: Step) {
        look.valve(ValveName::Exhaust(lock.lock), 1.0, Purpose::LockRun);
        self.go(look, step, lengths::EQUAL_S);
        look.when(look.depth_gauge(lock.lock), false, SURFACE_MSW);
    }

    fn vented(&mut self, look: &mut Look, lock: &LockLayout, next: Step, for_s: i64) {
        let gauge = look.depth_gauge(lock.lock);
        if look.panel.open(lock.outer) {
            look.valve(ValveName::Exhaust(lock.lock), 0.0, Purpose::LockRun);
            self.go(look, next, for_s);
        } else if self.settled(look, gauge, 0.0, look.depth(lock.lock) <= SURFACE_MSW) {
            look.door(lock.outer, true);
        } else if self.shown_at.is_none() {
            look.when(gauge, false, SURFACE_MSW);
            let at = look.now + 60;
            look.wake(at);
        }
    }

    /// Whether a door may be tried: the gauge has shown what is waited for long enough without leaving it, or
    /// it is time to try anyhow, for a gauge that is a little off does not keep a lock. Sees to the next look.
    fn settled(
        &mut self,
        look: &mut Look,
        gauge: Option<InstrumentId>,
        wanted_msw: f64,
        shown: bool,
    ) -> bool {
        if !shown {
            self.shown_at = None;
        }
        let settle_at = shown.then(|| *self.shown_at.get_or_insert(look.now) + lengths::SETTLE_S);
        if let Some(at) = settle_at
            && look.now < at
        {
            look.when(gauge, true, wanted_msw + lengths::LEFT_MSW);
            look.when(gauge, false, wanted_msw - lengths::LEFT_MSW);
            look.wake(at);
            return false;
        }
        let try_it = settle_at.is_some() || look.now >= self.until;
        if try_it {
            let tried = settle_at.is_none_or(|at| look.now > at);
            let at = look.now + if tried { 20 } else { 2 };
            look.wake(at);
        }
        try_it
    }

    /// Lets chamber gas into the lock, slowly at the end so that its gauge does not run past.
    fn await_equal(&self, look: &mut Look, lock: &LockLayout) {
        let (near_msw, cracked) = lengths::CRACKED;
        let (gauge, chamber_msw) = (look.depth_gauge(lock.lock), look.depth(lock.chamber));
        let far = look.depth(lock.lock) < chamber_msw - near_msw;
        // A lock that is large for what it is filled from is filled slowly, so that the depth can be kept.
        let slowly = takes_share(look, lock) > lengths::LARGE_SHARE;
        let opening = if far && !slowly { 1.0 } else { cracked };
        look.valve(ValveName::Equalise(lock.inner), opening, Purpose::LockRun);
        let short_msw = if far { near_msw } else { lengths::EQUAL_MSW };
        let off_msw = look.depth(lock.lock) - chamber_msw;
        if off_msw < -short_msw {
            look.when(gauge, true, chamber_msw - short_msw);
        } else if off_msw > lengths::EQUAL_MSW {
            look.when(gauge, false, chamber_msw + lengths::EQUAL_MSW);
        }
        let at = look.now + 15;
        look.wake(at);
    }

    fn equalise(&mut self, look: &mut Look, lock: &LockLayout) {
        let (gauge, chamber_msw) = (look.depth_gauge(lock.lock), look.depth(lock.chamber));
        if look.panel.open(lock.inner) {
            look.valve(ValveName::Equalise(lock.inner), 0.0, Purpose::LockRun);
            self.go(look, Step::Inside, self.takes_s(lengths::INSIDE_S));
        } else if self.settled(look, gauge, chamber_msw, equal(look, lock)) {
            look.door(lock.inner, true);
        } else if self.shown_at.is_none() {
            self.await_equal(look, lock);
        }
    }
}

/// Volume of a lock against that of all that it is filled from.
fn takes_share(look: &Look, lock: &LockLayout) -> f64 {
    let plates = &look.kit.scenario.steel.compartments;
    let level = look.kit.layout.level_of(lock.chamber);
    let from_m3 = level.map_or(f64::INFINITY, |level| look.volume_m3(level));
    plates[lock.lock.index()].volume_m3 / from_m3
}

/// Whether lock and chamber show the same, and the chamber is not being pressed at the moment.
fn equal(look: &Look, lock: &LockLayout) -> bool {
    (look.depth(lock.lock) - look.depth(lock.chamber)).abs() <= lengths::EQUAL_MSW
        && look.panel.valve(ValveName::BlowDown(lock.chamber)) == 0.0
}
