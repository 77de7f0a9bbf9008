//! The answers of a rule set at one working depth as plain numbers for the solver, each with its source.
//! The judge does not use them: it asks the rule set itself.

use super::rule::{House, RuleName};
use deepstay_rules::{Cited, RuleSet, Source, Status};

/// A figure and the rule it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// The figure, s.
    pub s: i64,
    /// The rule.
    pub rule: RuleName,
}

/// Longer time in the water with three in the bell.
#[derive(Clone, Debug, PartialEq)]
pub struct LongWater {
    /// Time in the water, the break counted, s.
    pub s: i64,
    /// The break in the bell, s.
    pub break_s: i64,
    /// The break lies between these seconds of the time in the water.
    pub between_s: (i64, i64),
    /// A dry day as bellman at least every so many days.
    pub dry_every_days: u8,
    /// The rule.
    pub rule: RuleName,
}

/// What a set demands at a working depth. House figures stand in where the set has none.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// Working depth, msw.
    pub depth_msw: f64,
    /// Longest turn, seal to seal.
    pub bell_run: Limit,
    /// Longest time in the bell in any window: the limit, and the window, s.
    pub bell_in_window: Option<(Limit, i64)>,
    /// Turns that may begin in any 24 h.
    pub runs_per_day: Option<(u8, RuleName)>,
    /// Longest time in the water in a turn.
    pub in_water: Limit,
    /// Window in which the time in the water counts, s; none: the turn.
    pub water_window_s: Option<i64>,
    /// Longer time in the water with three in the bell.
    pub long_water: Option<LongWater>,
    /// Unbroken rest between turns.
    pub rest: Limit,
    /// Whether a return before that rest is over leaves the turn's clock running.
    pub clock_runs_on: bool,
}

const DAY_S: i64 = 86_400;

impl Limits {
    /// What a set demands at a working depth, msw; the house's figures where it has none or refuses.
    pub fn at(depth_msw: f64, rules: &RuleSet, accepted: &[String], house: &House) -> Limits {
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
        let bell_run = limit(
            time.and_then(|t| t.bell_run_s),
            run_by,
            "bell-run",
            house.bell_run_s,
        );
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
            rest: limit(time.and_then(|t| t.rest_s), rest_by, "rest", house.rest_s),
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

/// A figure of the house.
pub fn house_rule(name: &str, words: String) -> RuleName {
    RuleName {
        id: format!("house.rota.{name}"),
        words,
        source: Source {
            document: "house figure of the scenario; common practice, no source".to_owned(),
            status: Status::HouseRule,
        },
    }
}
