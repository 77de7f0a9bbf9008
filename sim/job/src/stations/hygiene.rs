//! The routine of the day: meals, laundry and stores asked of the locks, toilets and showers with
//! their flushes, ear drops, and the venting of the holding tank.
//!
//! Washing daily and ear drops at least twice a day, five minutes each ear, watched and logged: US Navy
//! Diving Manual, saturation chapter, hygiene.

use super::asked;
use super::context::{Kit, Look};
use super::daily_time::DailyTime;
use super::house_figures;
use super::house_figures::sampled;
use super::layout::LockLayout;
use super::locks::LockState;
use super::valves;
use crate::random::Draw;
use deepstay_core::record::{Routine, ValveName, What, Whereabouts};
use deepstay_core::units::*;
use deepstay_plant::{Order, PeopleOrder};
use serde::{Deserialize, Serialize};

/// Second of the vessel's day at which the first ear drops are given; the day's others follow at equal distances
/// (house rule).
const EAR_DROPS_S: i64 = 9 * 3600;
/// How long before he goes into the bell a diver has the ear drops that he would miss that day, s (house figure).
const BEFORE_BELL_S: i64 = 2 * 3600;
/// Who is back in his chamber by this long before midnight still has his ear drops that day, s (house figure).
const BEFORE_MIDNIGHT_S: i64 = 5400;
const DAY_S: i64 = 86_400;
/// A diver's ear drops: five minutes each ear.
const EAR_DROPS_EACH_S: i64 = 600;
/// First shower of the day, and the time between two (house figures).
const SHOWERS_S: (i64, i64) = (10 * 3600, 1800);
/// From the beginning of one to the next at least, s (house figure).
const SHOWERS_APART_S: i64 = 1500;
/// First visit to the toilet after the level was pressed, s (house figure).
const FIRST_FLUSH_S: i64 = 3600;

/// How long until it is asked again whether those are back who were away when their turn came, s (house figure).
const BACK_S: i64 = 900;

/// A session of ear drops: diver after diver, each watched; whoever is away has his when he is back.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct EarDrops {
    session: DailyTime,
    /// Who has had none yet.
    without: Vec<DiverId>,
    /// Who had the next ones ahead, because he goes away.
    ahead: Vec<DiverId>,
    /// When the next may be given.
    free_at: i64,
}

/// Times of the next of each, s.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hygiene {
    begun: bool,
    draw: Draw,
    meals: Vec<DailyTime>,
    stores: Vec<DailyTime>,
    laundry: Option<DailyTime>,
    flush: i64,
    flush_by: u8,
    draining_until: Option<i64>,
    /// By diver.
    shower: Vec<DailyTime>,
    /// Whose time has come, and when the shower is free for the next.
    to_shower: Vec<DiverId>,
    shower_free_at: i64,
    wash_after_dive: bool,
    /// Who has been in the water, and is not back in his chamber.
    out: Vec<DiverId>,
    ear_drops: Vec<EarDrops>,
    /// When it is asked next who goes away.
    ask_at: i64,
}

impl Hygiene {
    /// Nothing begun. Its times are sampled from `draw`.
    pub fn new(draw: Draw) -> Hygiene {
        Hygiene {
            begun: false,
            draw,
            meals: Vec::new(),
            stores: Vec::new(),
            laundry: None,
            flush: 0,
            flush_by: 0,
            draining_until: None,
            shower: Vec::new(),
            to_shower: Vec::new(),
            shower_free_at: 0,
            wash_after_dive: false,
            out: Vec::new(),
            ear_drops: Vec::new(),
            ask_at: 0,
        }
    }

    fn begin(&mut self, kit: &Kit, now: i64, drops_a_day: u8) {
        let plan = &kit.scenario.plan;
        let draw = &mut self.draw;
        let mut daily = |second: i64, within| DailyTime::new(kit, now, second, within, draw);
        self.meals = plan
            .meals_s
            .iter()
            .map(|&s| daily(s, sampled::MEAL_S))
            .collect();
        self.stores = plan
            .stores_s
            .iter()
            .map(|&s| daily(s, sampled::STORES_S))
            .collect();
        self.laundry = plan.laundry_s.map(|s| daily(s, sampled::STORES_S));
        let (first, apart) = SHOWERS_S;
        let divers = kit.scenario.crew.len();
        let showers = (0i64..).take(divers).map(|i| first + i * apart);
        self.shower = showers.map(|s| daily(s, sampled::SHOWER_S)).collect();
        let sessions = i64::from(drops_a_day);
        self.ear_drops = (0..sessions)
            .map(|k| EAR_DROPS_S + k * DAY_S / sessions)
            .map(|s| EarDrops {
                session: daily(s, sampled::EAR_DROPS_S),
                without: Vec::new(),
                ahead: Vec::new(),
                free_at: now,
            })
            .collect();
        self.flush = now + FIRST_FLUSH_S;
        self.begun = true;
    }

    /// Looks and acts for a pressed level.
    /// `waits` while nobody is to wash or flush: doors are kept shut to find a leak.
    pub fn act(&mut self, look: &mut Look, level: usize, locks: &mut [LockState], waits: bool) {
        if !self.begun {
            let (drops_a_day, wash_after_dive) = asked::hygiene(look);
            self.wash_after_dive = wash_after_dive;
            self.begin(look.kit, look.now, drops_a_day);
        }
        self.locks(look, level, locks);
        if self.wash_after_dive {
            self.back_from_dive(look, level);
        }
        self.showers(look, level, waits);
        if look.now >= self.ask_at {
            self.ahead(look, level);
            self.ask_at = look.now + BACK_S;
        }
        for k in 0..self.ear_drops.len() {
            self.drops(look, level, k);
        }
        if waits {
            self.flush = self.flush.max(look.now + 60);
        }
        self.flushes(look, level);
    }

    fn locks(&mut self, look: &mut Look, level: usize, locks: &mut [LockState]) {
        let layout = &look.kit.layout.levels[level].locks;
        let usable = |large: bool| {
            let mut all = layout.iter();
            all.position(|l| l.large == large && look.is_joined(level, l.chamber))
        };
        let (small, large) = (usable(false), usable(true));
        let mut ask = |lock: Option<usize>, routine| {
            if let Some(state) = lock.and_then(|i| locks.get_mut(i)) {
                state.ask(routine);
            }
        };
        for next in &mut self.meals {
            if next.comes(look, sampled::MEAL_S, &mut self.draw) {
                ask(small.or(large), Routine::Meal);
            }
        }
        for next in &mut self.stores {
            if next.comes(look, sampled::STORES_S, &mut self.draw) {
                ask(large.or(small), Routine::Stores);
            }
        }
        if let Some(next) = &mut self.laundry
            && next.comes(look, sampled::STORES_S, &mut self.draw)
        {
            ask(large.or(small), Routine::Laundry);
        }
    }

    /// Whoever is back from the water washes.
    fn back_from_dive(&mut self, look: &Look, level: usize) {
        for diver in look.crew() {
            let was_out = self.out.contains(&diver);
            let in_water = matches!(look.panel.whereabouts(diver), Whereabouts::Water(_));
            if in_water && !was_out && lives_here(look, level, diver) {
                self.out.push(diver);
            } else if was_out && here(look, level, diver).is_some() {
                self.out.retain(|&d| d != diver);
                if !self.to_shower.contains(&diver) {
                    self.to_shower.push(diver);
                }
            }
        }
    }

    /// Ear drops are given ahead to those who go away before they are due and are not back in time that day.
    fn ahead(&mut self, look: &Look, level: usize) {
        for diver in look.crew() {
            let runs = &look.kit.own_runs[diver.index()];
            let next = runs.partition_point(|r| r.from_s <= look.now);
            let Some(run) = runs.get(next) else {
                continue;
            };
            if run.from_s > look.now + BEFORE_BELL_S || here(look, level, diver).is_none() {
                continue;
            }
            for drops in &mut self.ear_drops {
                let due_s = drops.session.due();
                let midnight_s = due_s + DAY_S - look.kit.second_of_day(due_s);
                let missed = run.from_s <= due_s && run.to_s > midnight_s - BEFORE_MIDNIGHT_S;
                if missed && !drops.ahead.contains(&diver) {
                    drops.ahead.push(diver);
                    drops.without.retain(|&d| d != diver);
                    drops.without.push(diver);
                }
            }
        }
    }

    /// Showers come one after the other: the gas of a small chamber takes so much water and no more. Whoever is away
    /// when his time comes has his when he is back.
    fn showers(&mut self, look: &mut Look, level: usize, waits: bool) {
        for diver in look.crew() {
            if self.shower[diver.index()].comes(look, sampled::SHOWER_S, &mut self.draw)
                && !self.to_shower.contains(&diver)
            {
                self.to_shower.push(diver);
            }
        }
        if self.to_shower.is_empty() {
            return;
        }
        if look.now < self.shower_free_at {
            look.wake(self.shower_free_at);
            return;
        }
        let can_wash = |look: &Look, diver: DiverId| {
            let compartment = here(look, level, diver)?;
            let wet = look.kit.layout.levels[level].wet.unwrap_or(compartment);
            (!waits && look.is_joined(level, wet) && look.is_joined(level, compartment))
                .then_some(wet)
        };
        let mut waiting = self.to_shower.iter().enumerate();
        let Some((k, diver, wet)) = waiting.find_map(|(k, &d)| Some((k, d, can_wash(look, d)?)))
        else {
            let later = look.now + BACK_S;
            look.wake(later);
            return;
        };
        self.to_shower.remove(k);
        let shower = PeopleOrder::Shower { diver, at: wet };
        look.desk.order(Order::People(shower));
        self.drain(look, level, wet);
        self.shower_free_at = look.now + SHOWERS_APART_S;
        look.board.levels[level].washes_until_s = look.now + look.kit.scenario.plan.shower_s;
        let next = self.shower_free_at;
        look.wake(next);
    }

    /// Ear drops of a session: those who are in the level, one after the other.
    fn drops(&mut self, look: &mut Look, level: usize, k: usize) {
        let EarDrops {
            session,
            without,
            ahead,
            free_at,
        } = &mut self.ear_drops[k];
        if session.comes(look, sampled::EAR_DROPS_S, &mut self.draw) {
            let all = look.crew().filter(|&d| lives_here(look, level, d));
            *without = all.filter(|d| !ahead.contains(d)).collect();
            ahead.clear();
        }
        if without.is_empty() {
            return;
        }
        if look.now < *free_at {
            look.wake(*free_at);
            return;
        }
        let mut waiting = without.iter().enumerate();
        let next = waiting.find_map(|(i, &d)| Some((i, d, here(look, level, d)?)));
        let Some((i, diver, compartment)) = next else {
            let later = look.now + BACK_S;
            look.wake(later);
            return;
        };
        without.remove(i);
        look.write(What::Routine {
            compartment,
            routine: Routine::EarDrops,
            diver: Some(diver),
        });
        let (least, most) = sampled::EAR_DROPS_BETWEEN_S;
        *free_at = look.now + EAR_DROPS_EACH_S + self.draw.between(least, most) as i64;
        look.wake(*free_at);
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
            let (least, most) = sampled::FLUSH_SHARE;
            self.flush = look.now + (apart_s as f64 * self.draw.between(least, most)) as i64;
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
                    self.drain(look, level, wet);
                    break;
                }
            }
        }
        look.wake(self.flush);
    }

    fn drain(&mut self, look: &mut Look, level: usize, wet: CompartmentId) {
        let (opening, time_s) = (house_figures::FLUSH_OPENING, house_figures::FLUSH_S);
        look.valve(ValveName::Drain(wet), opening, Purpose::Flush);
        let volume_m3 = look.kit.layout.levels[level].volume_m3;
        look.board.levels[level].flushed_msw +=
            valves::drained_msw(look, wet, opening, time_s, volume_m3);
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

/// Whether a diver lives in a level, and has been locked in.
fn lives_here(look: &Look, level: usize, diver: DiverId) -> bool {
    let members = &look.kit.layout.levels[level].members;
    members.contains(&look.kit.scenario.crew[diver.index()].chamber)
        && look.panel.whereabouts(diver) != Whereabouts::Deck
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
