//! The routine of the day: meals, laundry and stores asked of the locks, toilets and showers with
//! their flushes, ear drops, and the venting of the holding tank.
//!
//! Washing daily and ear drops at least twice a day, five minutes each ear, watched and logged: US Navy
//! Diving Manual, saturation chapter, hygiene.

use super::context::{Kit, Look};
use super::house_figures;
use super::layout::LockLayout;
use super::locks::LockState;
use deepstay_core::record::{Routine, ValveName, What, Whereabouts};
use deepstay_core::units::*;
use deepstay_plant::Activity;
use serde::{Deserialize, Serialize};

/// Seconds of the ship's day at which ear drops are given (house rule).
const EAR_DROPS_S: [i64; 2] = [9 * 3600, 21 * 3600];
/// Between two divers' ear drops: five minutes each ear.
const EAR_DROPS_EACH_S: i64 = 600;
/// First shower of the day, and the time between two.
const SHOWERS_S: (i64, i64) = (10 * 3600, 1800);

/// Times of the next of each, s.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Hygiene {
    begun: bool,
    meals: Vec<i64>,
    stores: Vec<i64>,
    laundry: Option<i64>,
    flush: i64,
    flush_by: u8,
    draining_until: Option<i64>,
    /// By diver.
    shower: Vec<i64>,
    ear_drops: Vec<i64>,
}

impl Hygiene {
    fn begin(&mut self, kit: &Kit, now: i64) {
        let plan = &kit.scenario.plan;
        let daily = |s: &i64| kit.next_daily(now, *s);
        self.meals = plan.meals_s.iter().map(daily).collect();
        self.stores = plan.stores_s.iter().map(daily).collect();
        self.laundry = plan.laundry_s.as_ref().map(daily);
        let divers = kit.scenario.crew.len();
        let (first, apart) = SHOWERS_S;
        self.shower = (0i64..)
            .take(divers)
            .map(|i| kit.next_daily(now, first + i * apart))
            .collect();
        self.ear_drops = (0i64..)
            .take(divers)
            .map(|i| {
                let each = EAR_DROPS_S.map(|s| kit.next_daily(now, s + i * EAR_DROPS_EACH_S));
                each[0].min(each[1])
            })
            .collect();
        self.flush = now + 3600;
        self.begun = true;
    }

    /// Looks and acts for a pressed level.
    pub fn act(&mut self, look: &mut Look, level: usize, locks: &mut [LockState]) {
        if !self.begun {
            self.begin(look.kit, look.now);
        }
        self.locks(look, level, locks);
        self.divers(look, level);
        self.flushes(look, level);
    }

    fn locks(&mut self, look: &mut Look, level: usize, locks: &mut [LockState]) {
        let layout = &look.kit.layout.levels[level].locks;
        let small = layout.iter().position(|l| !l.large);
        let large = layout.iter().position(|l| l.large);
        let mut ask = |lock: Option<usize>, routine| {
            if let Some(state) = lock.and_then(|i| locks.get_mut(i)) {
                state.ask(routine);
            }
        };
        for next in &mut self.meals {
            if daily(look, next) {
                ask(small.or(large), Routine::Meal);
            }
        }
        for next in &mut self.stores {
            if daily(look, next) {
                ask(large.or(small), Routine::Stores);
            }
        }
        if let Some(next) = &mut self.laundry
            && daily(look, next)
        {
            ask(large.or(small), Routine::Laundry);
        }
    }

    fn divers(&mut self, look: &mut Look, level: usize) {
        for diver in look.crew() {
            let i = diver.index();
            if daily(look, &mut self.shower[i])
                && let Some(compartment) = here(look, level, diver)
            {
                let wet = look.kit.layout.levels[level].wet.unwrap_or(compartment);
                look.give(diver, Activity::Chores);
                look.write(What::Routine {
                    compartment: wet,
                    routine: Routine::Shower,
                    diver: Some(diver),
                });
                self.drain(look, wet);
            }
            let given = look.now >= self.ear_drops[i];
            if given {
                let second = EAR_DROPS_S.map(|s| look.kit.next_daily(look.now, s + offset(i)));
                self.ear_drops[i] = second[0].min(second[1]);
                if let Some(compartment) = here(look, level, diver) {
                    look.write(What::Routine {
                        compartment,
                        routine: Routine::EarDrops,
                        diver: Some(diver),
                    });
                }
            }
            look.wake(self.ear_drops[i]);
        }
    }

    fn flushes(&mut self, look: &mut Look, level: usize) {
        let Some(wet) = look.kit.layout.levels[level].wet else {
            return;
        };
        if let Some(until) = self.draining_until {
            if look.now >= until {
                look.valve(ValveName::Drain(wet), 0.0, Purpose::Flush);
                self.draining_until = None;
            } else {
                look.wake(until);
            }
        }
        let heads = look.heads(level) as f64;
        let per_day = look.kit.scenario.plan.toilet_per_day * heads;
        if look.now >= self.flush {
            let apart_s = if per_day > 0.0 {
                (86_400.0 / per_day).max(600.0) as i64
            } else {
                3600
            };
            self.flush = look.now + apart_s;
            let count = u8::try_from(look.kit.scenario.crew.len()).unwrap_or(u8::MAX);
            for _ in 0..count {
                self.flush_by = (self.flush_by + 1) % count.max(1);
                let diver = DiverId(self.flush_by);
                if per_day > 0.0 && here(look, level, diver).is_some() {
                    let routine = Routine::Toilet;
                    look.write(What::Routine {
                        compartment: wet,
                        routine,
                        diver: Some(diver),
                    });
                    self.drain(look, wet);
                    break;
                }
            }
        }
        look.wake(self.flush);
    }

    fn drain(&mut self, look: &mut Look, wet: CompartmentId) {
        look.valve(
            ValveName::Drain(wet),
            house_figures::FLUSH_OPENING,
            Purpose::Flush,
        );
        let until = look.now + house_figures::FLUSH_S;
        self.draining_until = Some(until);
        look.wake(until);
    }
}

/// Asks the locks for a run with stores: by the large one where there is one.
pub fn bring_in(locks: &mut [LockState], layout: &[LockLayout]) {
    let lock = layout.iter().position(|l| l.large).unwrap_or(0);
    if let Some(state) = locks.get_mut(lock) {
        state.ask(Routine::Stores);
    }
}

fn offset(diver: usize) -> i64 {
    i64::try_from(diver).unwrap_or(0) * EAR_DROPS_EACH_S
}

/// Whether a daily time has come; sets it to the next day and sees to it that it is looked at. One
/// that passed more than an hour ago, while nobody was under pressure, is left out.
fn daily(look: &mut Look, next: &mut i64) -> bool {
    let late_s = look.now - *next;
    while *next <= look.now {
        *next += 86_400;
    }
    look.wake(*next);
    (0..3600).contains(&late_s)
}

/// Where in a level a diver is.
fn here(look: &Look, level: usize, diver: DiverId) -> Option<CompartmentId> {
    match look.panel.whereabouts(diver) {
        Whereabouts::In(c) if look.kit.layout.levels[level].members.contains(&c) => Some(c),
        _ => None,
    }
}

/// The holding tanks: vented when they show pressure, shut when they show none.
pub fn tanks(look: &mut Look) {
    let kit = look.kit;
    for &tank in &kit.layout.tanks {
        let gauge = look.depth_gauge(tank);
        let valve = ValveName::Exhaust(tank);
        let depth = look.depth(tank);
        if look.panel.valve(valve) > 0.0 {
            if depth <= house_figures::SURFACE_MSW {
                look.valve(valve, 0.0, Purpose::Flush);
            } else {
                look.when(gauge, false, house_figures::SURFACE_MSW);
            }
        } else if depth >= house_figures::TANK_VENT_MSW {
            look.valve(valve, 1.0, Purpose::Flush);
            look.when(gauge, false, house_figures::SURFACE_MSW);
        } else {
            look.when(gauge, true, house_figures::TANK_VENT_MSW);
        }
    }
}
