//! Bell run, time in the water and rest of one diver, as the documents print them, each from and to the moments at which
//! its own clock starts and stops.
//!
//! Where a set says that the clock runs on when the bell comes home and leaves again, two turns with less
//! than the rest between them are one run if that is the smaller breach, else the rest is too short.

use super::judge::{DAY_S, Judge, at, by_row, h_min, house, part_of, time_of};
use super::windows;
use crate::margin::Margin;
use crate::questions::WorkQuestion;
use crate::types::{BellRun, Rota, Span};
use deepstay_core::units::{DiverId, fixed_short};
use deepstay_rules::{RunMoment, WorkingTime};

/// A run as the set's clock counts it: one turn, or several without the clock set back.
struct Run<'a> {
    runs: Vec<(usize, &'a BellRun)>,
}

impl<'a> Run<'a> {
    fn first(&self) -> (usize, &'a BellRun) {
        self.runs[0]
    }

    fn last(&self) -> (usize, &'a BellRun) {
        self.runs[self.runs.len() - 1]
    }

    /// From one moment of its first turn to one of its last.
    fn span(&self, (from, to): (RunMoment, RunMoment), judge: &Judge) -> Span {
        judge.between((self.first().0, from), (self.last().0, to))
    }
}

/// Judges a diver's hours.
pub fn of(rota: &Rota, diver: DiverId, judge: &mut Judge) {
    let mut turns: Vec<(usize, &BellRun)> = rota
        .runs
        .iter()
        .enumerate()
        .filter(|(_, t)| t.position_of(diver).is_some())
        .collect();
    turns.sort_by_key(|(_, t)| (t.first, t.last));
    let runs = runs(&turns, judge);
    for run in &runs {
        length(run, diver, judge);
        in_water(run, diver, judge);
    }
    rest(&runs, diver, judge);
    starts(&runs, diver, judge);
    windows::of(&turns, diver, judge);
    windows::dry_days(&turns, diver, judge);
}

/// Whether a turn goes on with the run before it, by a clock that is not set back.
fn goes_on(run: &Run, (i, _): (usize, &BellRun), time: &WorkingTime, judge: &Judge) -> bool {
    let (rest_from, rest_to) = time.rest_between;
    let gap_s = judge
        .between((run.last().0, rest_from), (i, rest_to))
        .length_s();
    let (from, to) = time.bell_run_counted;
    let whole_s = judge.between((run.first().0, from), (i, to)).length_s();
    let (rest_s, longest_s) = (
        time.rest_s.unwrap_or(0),
        time.bell_run_s.unwrap_or(i64::MAX),
    );
    gap_s < rest_s && whole_s - longest_s <= rest_s - gap_s
}

fn runs<'a>(turns: &[(usize, &'a BellRun)], judge: &mut Judge) -> Vec<Run<'a>> {
    let mut runs: Vec<Run> = Vec::new();
    for &turn in turns {
        let time = time_of(turn.1, judge).filter(|time| time.clock_runs_on);
        match (time, runs.last_mut()) {
            (Some(time), Some(run)) if goes_on(run, turn, &time, judge) => run.runs.push(turn),
            _ => runs.push(Run { runs: vec![turn] }),
        }
    }
    runs
}

/// Longest bell run.
fn length(run: &Run, diver: DiverId, judge: &mut Judge) {
    let (i, turn) = run.last();
    let Some(time) = time_of(turn, judge) else {
        return;
    };
    let (Some(limit_s), Some(row)) = (time.bell_run_s, &time.bell_run_by) else {
        judge.silent(WorkQuestion::BellRun, &time.no_bell_run);
        return;
    };
    let rule = by_row(row);
    let span = run.span(time.bell_run_counted, judge);
    let found_s = span.length_s();
    let who = judge.initials(diver);
    let margin = Margin::AtMost { found_s, limit_s };
    let once = run.runs.len() == 1;
    let of = (WorkQuestion::BellRun, &rule);
    judge.hold(at(of, margin, (diver, i), span), || {
        let how = if once {
            ""
        } else {
            ", the clock not set back when the bell came home"
        };
        format!(
            "{who}: bell run of {}{how}; at most {}",
            h_min(found_s),
            h_min(limit_s)
        )
    });
}

/// Longest time in the water in a run, where it counts by the run.
fn in_water(run: &Run, diver: DiverId, judge: &mut Judge) {
    let (i, turn) = run.last();
    let Some(time) = time_of(turn, judge) else {
        return;
    };
    let (Some(limit_s), Some(row)) = (time.in_water_s, &time.in_water_by) else {
        judge.silent(WorkQuestion::InWater, &time.no_in_water);
        return;
    };
    if time.in_water_window_s.is_some() {
        return;
    }
    let found_s: i64 = run
        .runs
        .iter()
        .filter_map(|(_, t)| t.position_of(diver))
        .map(|s| s.wet_s())
        .sum();
    let rule = by_row(row);
    let who = judge.initials(diver);
    let margin = Margin::AtMost { found_s, limit_s };
    let when = Span::new(run.first().1.first, turn.last);
    let of = (WorkQuestion::InWater, &rule);
    judge.hold(at(of, margin, (diver, i), when), || {
        format!(
            "{who}: {} in the water; at most {} at {} msw",
            h_min(found_s),
            h_min(limit_s),
            fixed_short(turn.depth_msw)
        )
    });
}

/// Rest between runs. Where the set has none, the house's.
fn rest(runs: &[Run], diver: DiverId, judge: &mut Judge) {
    let house_s = judge.problem.house.rest_s;
    for pair in runs.windows(2) {
        let (i, turn) = pair[1].first();
        let time = time_of(turn, judge);
        let printed = time.as_ref().and_then(|t| t.rest_s.zip(t.rest_by.as_ref()));
        let between = time
            .as_ref()
            .map_or((RunMoment::ClampedOn, RunMoment::SealedIn), |t| {
                t.rest_between
            });
        let (limit_s, rule, of) = match printed {
            Some((s, row)) => (s, by_row(row), Some(WorkQuestion::Rest)),
            None => {
                if let Some(time) = &time {
                    judge.silent(WorkQuestion::Rest, &time.no_rest);
                }
                let words = format!("{} of rest where the set has none", h_min(house_s));
                (house_s, house("rest", words), None)
            }
        };
        let gap = judge.between((pair[0].last().0, between.0), (i, between.1));
        let found_s = gap.length_s();
        let who = judge.initials(diver);
        let margin = Margin::AtLeast { found_s, limit_s };
        let mut point = at((WorkQuestion::Rest, &rule), margin, (diver, i), gap);
        point.of = of;
        judge.hold(point, || {
            if found_s < 0 && pair[0].last().1.last > turn.first {
                format!("{who} is in two bells at once")
            } else {
                format!(
                    "{who}: rest of {}; at least {}",
                    h_min(found_s),
                    h_min(limit_s)
                )
            }
        });
    }
}

/// Runs a day: from the start of a run to the start of the next but so many at least 24 h.
fn starts(runs: &[Run], diver: DiverId, judge: &mut Judge) {
    for (k, run) in runs.iter().enumerate() {
        let (i, turn) = run.first();
        let Some(time) = time_of(turn, judge) else {
            continue;
        };
        let (Some(most), Some(row)) = (time.runs_per_day, &time.bell_run_by) else {
            judge.silent(WorkQuestion::RunsADay, &time.no_bell_run);
            continue;
        };
        let Some(before) = k.checked_sub(usize::from(most)).map(|b| &runs[b]) else {
            continue;
        };
        let rule = part_of(row, "runs-a-day", format!("{most} bell runs in 24 h"));
        let from = time.bell_run_counted.0;
        let span = judge.between((before.first().0, from), (i, from));
        let found_s = span.length_s();
        let who = judge.initials(diver);
        let margin = Margin::AtLeast {
            found_s,
            limit_s: DAY_S,
        };
        let of = (WorkQuestion::RunsADay, &rule);
        judge.hold(at(of, margin, (diver, i), span), || {
            format!(
                "{who}: {} runs begin within {}; at most {most} in 24 h",
                most + 1,
                h_min(found_s)
            )
        });
    }
}
