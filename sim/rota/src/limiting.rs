//! From a rule set to plain numbers for the solver. A turn is planned from sealed in to clamped on again; what a document
//! counts before and after that is taken off its longest run and added to its rest.

use super::check::past_turn_s;
use super::limits::{Limit, Limits, LongWater, house_rule};
use super::rule::{House, RuleName};
use super::types::Bell;
use deepstay_rules::{Cited, RuleSet, RunMoment};

const DAY_S: i64 = 86_400;

impl Limits {
    /// What a set demands at a working depth, msw; the house's figures where it has none or refuses. A turn is planned
    /// from sealed in to clamped on again: what a document counts before and after that is taken off its longest run and
    /// added to its rest, by the bell that needs most.
    pub fn at(
        depth_msw: f64,
        (rules, accepted): (&RuleSet, &[String]),
        house: &House,
        bells: &[Bell],
    ) -> Limits {
        let asked = rules.working_time(depth_msw, accepted).ok();
        let time = asked.as_ref();
        let limit = |s: Option<i64>, by: Option<&Cited>, name: &str, house_s: i64| match s.zip(by) {
            Some((s, row)) => Limit {
                s,
                rule: named(row),
            },
            None => Limit {
                s: house_s,
                rule: house_rule(name, format!("{} min where the set has none", house_s / 60)),
            },
        };
        let run_by = time.and_then(|t| t.bell_run_by.as_ref());
        let water_by = time.and_then(|t| t.in_water_by.as_ref());
        let rest_by = time.and_then(|t| t.rest_by.as_ref());
        let most = |of: &dyn Fn(&Bell) -> i64| bells.iter().map(of).max().unwrap_or(0);
        let counted_s = time.map_or(0, |t| {
            let (from, to) = t.bell_run_counted;
            most(&|bell| past_turn_s(bell, depth_msw, to) - past_turn_s(bell, depth_msw, from))
        });
        let rested_s = time.filter(|t| t.rest_s.is_some()).map_or(0, |t| {
            let (from, to) = t.rest_between;
            most(&|bell| past_turn_s(bell, depth_msw, from) - past_turn_s(bell, depth_msw, to))
        });
        let mut bell_run = limit(
            time.and_then(|t| t.bell_run_s),
            run_by,
            "bell-run",
            house.bell_run_s,
        );
        bell_run.s -= counted_s;
        let mut rest = limit(time.and_then(|t| t.rest_s), rest_by, "rest", house.rest_s);
        rest.s += rested_s;
        let window = time.and_then(|t| t.bell_run_window_s).zip(run_by);
        let work = time.and_then(|t| t.work_in_day_s).zip(rest_by);
        let bell_in_window = match (window, work) {
            (Some((window_s, _)), _) => Some((bell_run.clone(), window_s)),
            (None, Some((s, row))) => Some((
                Limit {
                    s,
                    rule: named(row),
                },
                DAY_S,
            )),
            (None, None) => None,
        };
        let three = time.and_then(|t| t.three_man).zip(water_by);
        Limits {
            depth_msw,
            bell_in_window,
            runs_per_day: time.and_then(|t| t.runs_per_day).zip(run_by.map(named)),
            in_water: limit(
                time.and_then(|t| t.in_water_s),
                water_by,
                "in-water",
                house.in_water_s,
            ),
            water_window_s: time.and_then(|t| t.in_water_window_s),
            long_water: three.map(|(t, row)| LongWater {
                s: t.in_water_s,
                break_s: t.break_s,
                between_s: t.break_between_s,
                dry_every_days: t.bellman_every_days,
                rule: named(row),
            }),
            rest,
            around_s: match (window, work) {
                (None, Some(_)) => (
                    most(&|bell| bell.lead_s),
                    most(&|bell| past_turn_s(bell, depth_msw, RunMoment::Home)),
                ),
                _ => (0, 0),
            },
            clock_runs_on: time.is_some_and(|t| t.clock_runs_on),
            bell_run,
        }
    }
}

fn named(row: &Cited) -> RuleName {
    RuleName {
        id: row.id.clone(),
        words: row.figures.clone(),
        source: row.source.clone(),
    }
}
