//! Tells the divers in their chambers what their day says: sleep, chores, exercise, rest, by their own
//! bell runs and the chamber's night.

use super::context::Look;
use deepstay_core::record::Whereabouts;
use deepstay_core::units::*;
use deepstay_crew::{DayClock, schedule};
use deepstay_plant::Activity;
use serde::{Deserialize, Serialize};

/// Those not in a chamber are looked for again after this, s.
const AWAY_S: i64 = 1800;

/// What was given last, by diver, and when it is looked at again.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Daily {
    given: Vec<Option<Activity>>,
    next: Vec<i64>,
    /// From when to when a diver's turn to exercise is, s.
    exercise: Vec<(i64, i64)>,
}

impl Daily {
    /// Gives the divers who are in their chambers what their day says.
    pub fn act(&mut self, look: &mut Look) {
        let kit = look.kit;
        self.given.resize(kit.scenario.crew.len(), None);
        self.next.resize(kit.scenario.crew.len(), 0);
        self.exercise.resize(kit.scenario.crew.len(), (0, 0));
        for diver in look.crew() {
            let i = diver.index();
            if look.now >= self.next[i] {
                self.next[i] = self.tell(look, diver);
            }
            look.wake(self.next[i]);
        }
    }

    fn tell(&mut self, look: &mut Look, diver: DiverId) -> i64 {
        let kit = look.kit;
        let kind = match look.panel.whereabouts(diver) {
            Whereabouts::In(c) => kit.scenario.steel.compartments[c.index()].kind,
            _ => CompartmentKind::Bell,
        };
        if !matches!(
            kind,
            CompartmentKind::Living | CompartmentKind::Rescue | CompartmentKind::Transfer
        ) {
            self.given[diver.index()] = None;
            return look.now + AWAY_S;
        }
        let clock = DayClock {
            start_second_of_day: kit.scenario.start_second_of_day,
            night_s: kit.scenario.plan.night_s,
        };
        let (due, until) = schedule(look.now, clock, &kit.own_runs[diver.index()]);
        let (due, until) = match due {
            Activity::Bellman => (Activity::Chores, until),
            Activity::Exercise | Activity::Rest => self.in_turn(look, diver, due, until),
            due => (due, until),
        };
        if self.given[diver.index()] != Some(due) {
            look.give(diver, due);
            self.given[diver.index()] = Some(due);
        }
        until.max(look.now + 60).min(look.now + 86_400)
    }

    /// Exercise goes by teams, one after the other: a whole crew at it in a small chamber that is no longer
    /// warm brings more water into the gas than its coil takes out.
    fn in_turn(
        &mut self,
        look: &Look,
        diver: DiverId,
        due: Activity,
        until: i64,
    ) -> (Activity, i64) {
        let (now, i) = (look.now, diver.index());
        if due == Activity::Exercise && now >= self.exercise[i].1 {
            let length_s = until - now;
            let from = now + turn(look, diver) * length_s;
            self.exercise[i] = (from, from + length_s);
        }
        let (from, to) = self.exercise[i];
        if now < from {
            (Activity::Rest, from)
        } else if now < to {
            (Activity::Exercise, to)
        } else {
            (Activity::Rest, until)
        }
    }
}

/// How many teams of a diver's chamber exercise before his.
fn turn(look: &Look, diver: DiverId) -> i64 {
    let crew = &look.kit.scenario.crew;
    let his = &crew[diver.index()];
    let before = crew
        .iter()
        .filter(|d| d.chamber == his.chamber && d.team < his.team);
    let mut teams: Vec<u8> = before.map(|d| d.team).collect();
    teams.sort_unstable();
    teams.dedup();
    i64::try_from(teams.len()).unwrap_or(0)
}
