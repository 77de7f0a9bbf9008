//! After a saturation: until when a diver stays near a chamber, when he may fly, and when he may be pressed again; and how
//! often he was given ear drops and washed while he was under pressure.

use super::Worked;
use deepstay_core::record::{Recorder, Routine, What};
use deepstay_core::units::{DiverId, VesselTime};
use deepstay_rules::{AfterDemand, Cited, RuleSet};

const DAY_S: i64 = 86_400;

/// What a set asks for a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Until {
    /// The second until which it holds.
    pub at_s: i64,
    /// The row.
    pub by: Cited,
}

/// A diver after his last saturation.
#[derive(Clone, Debug, PartialEq)]
pub struct AfterSurfacing {
    /// Who.
    pub diver: DiverId,
    /// When he surfaced, s.
    pub surfaced_s: i64,
    /// How long he had been under pressure, s.
    pub under_s: i64,
    /// What is asked, of each demand the longest; a demand of which the set says nothing is left out.
    pub demands: Vec<(AfterDemand, Until)>,
    /// From when he may be pressed again, or why that is not judged.
    pub again: Result<Until, String>,
}

/// The least of a routine that a diver had in any whole day under pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RoutineADay {
    /// Who.
    pub diver: DiverId,
    /// Whole days of vessel time under pressure.
    pub days: u32,
    /// Ear drops in the day that had fewest.
    pub ear_drops: u32,
    /// Washings in the day that had fewest.
    pub washed: u32,
}

impl Worked {
    /// Each diver who is at the surface again at a second.
    pub fn after_surfacing(
        &self,
        end_s: i64,
        rules: &RuleSet,
        accepted: &[String],
    ) -> Vec<AfterSurfacing> {
        let asked = rules.after_surfacing(accepted).of;
        let crew = (0u8..).map(DiverId).zip(&self.problem.divers);
        let one = |(id, diver): (DiverId, &crate::types::Diver)| {
            let last = diver.saturations.last()?;
            let surfaced_s = Some(last.surfaced_s).filter(|s| *s <= end_s)?;
            let under_s = last.surfaced_s - last.pressed_s;
            let until = |time_s: i64, by: &Cited| Until {
                at_s: surfaced_s + time_s,
                by: by.clone(),
            };
            let longest = |demand: AfterDemand| {
                let of = asked.iter().filter(|a| a.figures.what == demand);
                let longest =
                    of.max_by(|a, b| a.figures.time.get().total_cmp(&b.figures.time.get()));
                longest.map(|a| (demand, until(a.figures.time.get() as i64, &a.by)))
            };
            let again = match rules.saturation_length(self.deepest_msw(id), accepted) {
                Err(refusal) => Err(refusal.to_string()),
                Ok(length) => match (length.interval_after_s(under_s), &length.interval_by) {
                    (Some(time_s), Some(by)) => Ok(until(time_s, by)),
                    _ => Err("the set says nothing of it".to_owned()),
                },
            };
            Some(AfterSurfacing {
                diver: id,
                surfaced_s,
                under_s,
                demands: AfterDemand::ALL.into_iter().filter_map(longest).collect(),
                again,
            })
        };
        crew.filter_map(one).collect()
    }

    /// The deepest that a diver lived or worked, msw.
    fn deepest_msw(&self, id: DiverId) -> f64 {
        let runs = self.rota.runs.iter();
        let worked = runs
            .filter(|r| r.position_of(id).is_some())
            .map(|r| r.depth_msw);
        let stays = self.problem.divers.get(id.index()).map(|d| d.stays.iter());
        let lived = stays.into_iter().flatten().map(|s| s.storage_msw);
        worked.chain(lived).fold(0.0, f64::max)
    }

    /// Ear drops and washings of each diver who was under pressure for a whole day of vessel time.
    pub fn hygiene(&self, record: &Recorder, time: VesselTime, end_s: i64) -> Vec<RoutineADay> {
        let done: Vec<(i64, DiverId, Routine)> = record
            .log
            .acts()
            .iter()
            .filter_map(|e| match e.what {
                What::Routine {
                    routine,
                    diver: Some(diver),
                    ..
                } => Some((e.at, diver, routine)),
                _ => None,
            })
            .collect();
        let crew = (0u8..).map(DiverId).zip(&self.problem.divers);
        let one = |(id, diver): (DiverId, &crate::types::Diver)| {
            let mut days = Vec::new();
            for saturation in &diver.saturations {
                let (from_s, to_s) = (saturation.pressed_s, saturation.surfaced_s.min(end_s));
                let into_day = time.second_of_day(from_s).rem_euclid(DAY_S);
                let mut day_s = from_s + (DAY_S - into_day) % DAY_S;
                while day_s + DAY_S <= to_s {
                    days.push(day_s);
                    day_s += DAY_S;
                }
            }
            let least = |of: Routine| {
                let in_day = |day: &i64| {
                    let his = done.iter().filter(|(at, who, what)| {
                        *who == id && *what == of && (*day..*day + DAY_S).contains(at)
                    });
                    his.count() as u32
                };
                days.iter().map(in_day).min()
            };
            Some(RoutineADay {
                diver: id,
                days: days.len() as u32,
                ear_drops: least(Routine::EarDrops)?,
                washed: least(Routine::Shower)?,
            })
        };
        crew.filter_map(one).collect()
    }
}
