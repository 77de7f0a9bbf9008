//! Bell run, time in the water and rest of one diver, as the documents print them.
//!
//! Where a set says that the clock runs on when the bell comes home and leaves again, two turns with less
//! than the rest between them are one run if that is the smaller breach, else the rest is too short.

use super::judge::{DAY_S, Judge, at, by_row, h_min, house, part_of, time_of};
use super::windows;
use crate::answer::Margin;
use crate::types::{BellRun, Rota, Span};
use deepstay_core::units::{DiverId, fixed_short};

/// A run as the set's clock counts it: one turn, or several without the clock set back.
struct Run<'a> {
    span: Span,
    runs: Vec<(usize, &'a BellRun)>,
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
    let runs = runs(&turns, diver, judge);
    for run in &runs {
        length(run, diver, judge);
        in_water(run, diver, judge);
    }
    rest(&runs, diver, judge);
    starts(&runs, diver, judge);
    windows::of(&turns, diver, judge);
    windows::dry_days(&turns, diver, judge);
}

fn runs<'a>(turns: &[(usize, &'a BellRun)], _diver: DiverId, judge: &mut Judge) -> Vec<Run<'a>> {
    let mut runs: Vec<Run> = Vec::new();
    for &(i, turn) in turns {
        let time = time_of(turn, judge);
        let joined = match (&time, runs.last_mut()) {
            (Some(time), Some(run)) if time.clock_runs_on => {
                let gap_s = turn.first - run.span.to_s;
                let whole_s = turn.last - run.span.from_s;
                let (rest_s, longest_s) = (
                    time.rest_s.unwrap_or(0),
                    time.bell_run_s.unwrap_or(i64::MAX),
                );
                let one = gap_s < rest_s && whole_s - longest_s <= rest_s - gap_s;
                if one {
                    run.span.to_s = run.span.to_s.max(turn.last);
                    run.runs.push((i, turn));
                }
                one
            }
            _ => false,
        };
        if !joined {
            runs.push(Run {
                span: turn.span(),
                runs: vec![(i, turn)],
            });
        }
    }
    runs
}

/// Longest bell run.
fn length(run: &Run, diver: DiverId, judge: &mut Judge) {
    let (i, turn) = run.runs[run.runs.len() - 1];
    let Some(time) = time_of(turn, judge) else {
        return;
    };
    let (Some(limit_s), Some(row)) = (time.bell_run_s, &time.bell_run_by) else {
        return;
    };
    let rule = by_row(row);
    let found_s = run.span.length_s();
    let who = judge.initials(diver);
    let margin = Margin::AtMost { found_s, limit_s };
    let once = run.runs.len() == 1;
    judge.hold(at(&rule, margin, diver, i, run.span), || {
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
    let (i, turn) = run.runs[run.runs.len() - 1];
    let Some(time) = time_of(turn, judge) else {
        return;
    };
    let (Some(limit_s), Some(row)) = (time.in_water_s, &time.in_water_by) else {
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
    judge.hold(at(&rule, margin, diver, i, run.span), || {
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
        let (i, turn) = pair[1].runs[0];
        let time = time_of(turn, judge);
        let printed = time.as_ref().and_then(|t| t.rest_s.zip(t.rest_by.as_ref()));
        let (limit_s, rule) = match printed {
            Some((s, row)) => (s, by_row(row)),
            None => (
                house_s,
                house(
                    "rest",
                    format!("{} of rest where the set has none", h_min(house_s)),
                ),
            ),
        };
        let gap = Span::new(pair[0].span.to_s, pair[1].span.from_s);
        let found_s = gap.length_s();
        let who = judge.initials(diver);
        let margin = Margin::AtLeast { found_s, limit_s };
        judge.hold(at(&rule, margin, diver, i, gap), || {
            if found_s < 0 {
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
        let (i, turn) = run.runs[0];
        let Some(time) = time_of(turn, judge) else {
            continue;
        };
        let (Some(most), Some(row)) = (time.runs_per_day, &time.bell_run_by) else {
            continue;
        };
        let Some(before) = k.checked_sub(usize::from(most)).map(|b| &runs[b]) else {
            continue;
        };
        let rule = part_of(row, "runs-a-day", format!("{most} bell runs in 24 h"));
        let found_s = run.span.from_s - before.span.from_s;
        let who = judge.initials(diver);
        let margin = Margin::AtLeast {
            found_s,
            limit_s: DAY_S,
        };
        judge.hold(
            at(
                &rule,
                margin,
                diver,
                i,
                Span::new(before.span.from_s, run.span.from_s),
            ),
            || {
                format!(
                    "{who}: {} runs begin within {}; at most {most} in 24 h",
                    most + 1,
                    h_min(found_s)
                )
            },
        );
    }
}
