//! What a diver does through his day: eight hours of sleep in his off time, chores after waking, an
//! hour of exercise, rest otherwise. His clock follows his bell runs; without runs, the ship's night.

use super::context::{Kit, Look};
use crate::plant::Activity;
use crate::record::Whereabouts;
use crate::units::*;
use serde::{Deserialize, Serialize};

/// Hours of sleep.
const SLEEP_S: i64 = 8 * 3600;
/// Sleep begins this long after a bell run's planned start plus its length (common practice, no source).
const AFTER_RUN_S: i64 = 11 * 3600;
/// Hours of the day after waking: chores, then rest, an hour of exercise, rest.
const CHORES_S: i64 = 3600;
const EXERCISE_S: (i64, i64) = (4 * 3600, 4 * 3600 + 2700);
/// Chores again before sleep.
const EVENING_S: i64 = 15 * 3600;

/// What was given last, by diver, and when it is looked at again.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Daily {
    given: Vec<Option<Activity>>,
    next: i64,
}

impl Daily {
    /// Gives the divers who are in their chambers what their day says.
    pub fn act(&mut self, look: &mut Look) {
        if look.now < self.next {
            look.wake(self.next);
            return;
        }
        self.next = look.now + 900;
        self.given.resize(look.kit.scenario.crew.len(), None);
        for diver in look.crew() {
            let Whereabouts::In(c) = look.panel.whereabouts(diver) else {
                self.given[diver.index()] = None;
                continue;
            };
            let kind = look.kit.scenario.steel.compartments[c.index()].kind;
            if !matches!(
                kind,
                CompartmentKind::Living | CompartmentKind::Rescue | CompartmentKind::Transfer
            ) {
                self.given[diver.index()] = None;
                continue;
            }
            let due = activity(look.kit, diver, look.now);
            if self.given[diver.index()] != Some(due) {
                look.give(diver, due);
                self.given[diver.index()] = Some(due);
            }
        }
        look.wake(self.next);
    }
}

/// What a diver does at a second, by his clock.
fn activity(kit: &Kit, diver: DiverId, now: i64) -> Activity {
    let awake = (kit.second_of_day(now) - bedtime(kit, diver, now)).rem_euclid(86_400) - SLEEP_S;
    match awake {
        a if a < 0 => Activity::Sleep,
        a if a < CHORES_S => Activity::Chores,
        a if (EXERCISE_S.0..EXERCISE_S.1).contains(&a) => Activity::Exercise,
        a if a >= EVENING_S => Activity::Chores,
        _ => Activity::Rest,
    }
}

/// Second of the ship's day at which a diver goes to sleep.
fn bedtime(kit: &Kit, diver: DiverId, now: i64) -> i64 {
    let runs = &kit.scenario.plan.bell_runs;
    let his = |r: &&crate::scenario::BellRun| r.divers.contains(&diver);
    let near = runs.iter().filter(his).min_by_key(|r| (r.at - now).abs());
    match near {
        Some(run) if (run.at - now).abs() < 2 * 86_400 => kit.second_of_day(run.at + AFTER_RUN_S),
        _ => kit.scenario.plan.night_s.0,
    }
}
