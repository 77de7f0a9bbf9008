//! What counts in a sliding window, and dry days: time in the water, in the bell and at work of one diver.

use super::judge::{DAY_S, Judge, at, by_row, d_h, h_min, part_of, time_of};
use crate::margin::Margin;
use crate::questions::WorkQuestion;
use crate::rule::RuleName;
use crate::types::{BellRun, Span};
use deepstay_core::units::DiverId;
use deepstay_rules::{RunMoment, WorkingTime};

/// Time that counts in a sliding window: in the water, in the bell, at work.
pub fn of(turns: &[(usize, &BellRun)], diver: DiverId, judge: &mut Judge) {
    for &(i, turn) in turns {
        let Some(time) = time_of(turn, judge) else {
            continue;
        };
        in_the_bell((i, turn), turns, &time, diver, judge);
        at_work((i, turn), turns, &time, diver, judge);
        if let (Some(limit_s), Some(window_s), Some(row)) =
            (time.in_water_s, time.in_water_window_s, &time.in_water_by)
        {
            water_window(
                (i, turn),
                turns,
                (limit_s, window_s),
                &time,
                diver,
                &by_row(row),
                judge,
            );
        }
        if time.three_man.is_none() {
            judge.silent(WorkQuestion::BreakInBell, &time.no_in_water);
            judge.silent(WorkQuestion::DryDay, &time.no_in_water);
        }
    }
}

/// Bell runs in a window.
fn in_the_bell(
    this: (usize, &BellRun),
    turns: &[(usize, &BellRun)],
    time: &WorkingTime,
    diver: DiverId,
    judge: &mut Judge,
) {
    let (Some(limit_s), Some(window_s), Some(row)) =
        (time.bell_run_s, time.bell_run_window_s, &time.bell_run_by)
    else {
        judge.silent(WorkQuestion::BellRunInWindow, &time.no_bell_run);
        return;
    };
    let (limit, window) = (h_min(limit_s), h_min(window_s));
    let rule = part_of(
        row,
        "window",
        format!("{limit} in the bell in any {window}"),
    );
    let who = judge.initials(diver);
    let counted = Counting {
        question: WorkQuestion::BellRunInWindow,
        rule: &rule,
        limit_s,
        window_s,
        from_to: time.bell_run_counted,
    };
    counted.judge(this, turns, diver, judge, |found| {
        format!("{who}: {found} in the bell in {window}; at most {limit}")
    });
}

/// Work in a day: from the checks of each run until its divers are back in their chamber.
fn at_work(
    this: (usize, &BellRun),
    turns: &[(usize, &BellRun)],
    time: &WorkingTime,
    diver: DiverId,
    judge: &mut Judge,
) {
    let (Some(limit_s), Some(row)) = (time.work_in_day_s, &time.rest_by) else {
        judge.silent(WorkQuestion::WorkInDay, &time.no_rest);
        return;
    };
    let limit = h_min(limit_s);
    let rule = part_of(row, "work", format!("at most {limit} of work in any 24 h"));
    let who = judge.initials(diver);
    let counted = Counting {
        question: WorkQuestion::WorkInDay,
        rule: &rule,
        limit_s,
        window_s: DAY_S,
        from_to: (RunMoment::Checks, RunMoment::Home),
    };
    counted.judge(this, turns, diver, judge, |found| {
        format!("{who}: {found} of work at bell runs in 24 h, checks and transfers counted; at most {limit}")
    });
}

/// What counts of each run, and how much of it any window may hold.
struct Counting<'r> {
    question: WorkQuestion,
    rule: &'r RuleName,
    limit_s: i64,
    window_s: i64,
    from_to: (RunMoment, RunMoment),
}

impl Counting<'_> {
    /// Judges the window that ends with a run; `words` tells of what was found.
    fn judge(
        &self,
        (i, _): (usize, &BellRun),
        turns: &[(usize, &BellRun)],
        diver: DiverId,
        judge: &mut Judge,
        words: impl FnOnce(String) -> String,
    ) {
        let (from, to) = self.from_to;
        let end_s = judge.moment_s(i, to);
        let when = Span::new(end_s - self.window_s, end_s);
        let counted = turns
            .iter()
            .map(|&(k, _)| judge.between((k, from), (k, to)).shared_s(when));
        let (found_s, limit_s) = (counted.sum(), self.limit_s);
        let margin = Margin::AtMost { found_s, limit_s };
        let of = (self.question, self.rule);
        judge.hold(at(of, margin, (diver, i), when), || words(h_min(found_s)));
    }
}

/// Time in the water in a sliding window, with the longer time of a three-man bell where it applies.
fn water_window(
    (i, turn): (usize, &BellRun),
    turns: &[(usize, &BellRun)],
    (limit_s, window_s): (i64, i64),
    time: &WorkingTime,
    diver: DiverId,
    rule: &RuleName,
    judge: &mut Judge,
) {
    let Some(seat) = turn.position_of(diver) else {
        return;
    };
    let (Some(out), Some(back)) = (seat.wet.first(), seat.wet.last()) else {
        return;
    };
    let who = judge.initials(diver);
    let three = time.three_man.filter(|_| turn.positions.len() >= 3);
    let wet = |t: &BellRun| t.position_of(diver).map_or(Vec::new(), |s| s.wet.clone());
    let ends = seat.wet.iter().map(|w| w.to_s);
    let found_s = ends
        .map(|end_s| most_before(turns, end_s, window_s, wet))
        .max()
        .unwrap_or(0);
    let when = Span::new(back.to_s - window_s, back.to_s);
    let Some(three) = three.filter(|_| back.to_s - out.from_s > limit_s || found_s > limit_s)
    else {
        let margin = Margin::AtMost { found_s, limit_s };
        let of = (WorkQuestion::InWater, rule);
        judge.hold(at(of, margin, (diver, i), when), || {
            format!(
                "{who}: {} in the water in any {}; at most {}",
                h_min(found_s),
                h_min(window_s),
                h_min(limit_s)
            )
        });
        return;
    };
    // The break counts.
    let whole_s = most_before(turns, back.to_s, window_s, |t| {
        let wet = t.position_of(diver).map_or(&[][..], |s| &s.wet[..]);
        match (wet.first(), wet.last()) {
            (Some(a), Some(b)) => vec![Span::new(a.from_s, b.to_s)],
            _ => Vec::new(),
        }
    });
    let margin = Margin::AtMost {
        found_s: whole_s,
        limit_s: three.in_water_s,
    };
    let longer = RuleName {
        id: format!("{}#three-man", rule.id),
        ..rule.clone()
    };
    let of = (WorkQuestion::InWater, &longer);
    judge.hold(at(of, margin, (diver, i), when), || {
        format!(
            "{who}: {} in the water in any {}, the break counted; at most {} with three in the bell",
            h_min(whole_s), h_min(window_s), h_min(three.in_water_s)
        )
    });
    let band = Span::new(
        out.from_s + three.break_between_s.0,
        out.from_s + three.break_between_s.1,
    );
    let found_s = seat
        .wet
        .windows(2)
        .map(|w| Span::new(w[0].to_s, w[1].from_s).shared_s(band))
        .max()
        .unwrap_or(0);
    let pause = RuleName {
        id: format!("{}#break", rule.id),
        ..rule.clone()
    };
    let margin = Margin::AtLeast {
        found_s,
        limit_s: three.break_s,
    };
    let of = (WorkQuestion::BreakInBell, &pause);
    judge.hold(at(of, margin, (diver, i), turn.span()), || {
        format!(
            "{who}: break of {} between {} and {} of the time in the water; at least {}",
            h_min(found_s),
            h_min(three.break_between_s.0),
            h_min(three.break_between_s.1),
            h_min(three.break_s)
        )
    });
}

/// Most seconds in a window that ends at a second. The most in any window is found at the end of a span.
fn most_before(
    turns: &[(usize, &BellRun)],
    end_s: i64,
    window_s: i64,
    spans: impl Fn(&BellRun) -> Vec<Span>,
) -> i64 {
    let window = Span::new(end_s - window_s, end_s);
    turns
        .iter()
        .flat_map(|(_, t)| spans(t))
        .map(|s| s.shared_s(window))
        .sum()
}

/// A dry day at least every so many, where the longer time in the water is used.
pub fn dry_days(turns: &[(usize, &BellRun)], diver: DiverId, judge: &mut Judge) {
    let mut wet_days: Vec<(i64, bool, usize, Span)> = Vec::new();
    let mut row = None;
    for &(i, turn) in turns {
        let Some(time) = time_of(turn, judge) else {
            continue;
        };
        let Some(seat) = turn.position_of(diver) else {
            continue;
        };
        let (Some(out), Some(back)) = (seat.wet.first(), seat.wet.last()) else {
            continue;
        };
        // Whoever was in the water had a wet day, however many were in the bell; the longer time is that of three.
        let three = time.three_man.filter(|_| turn.positions.len() >= 3);
        let long = three
            .zip(time.in_water_s)
            .is_some_and(|(_, limit_s)| back.to_s - out.from_s > limit_s);
        row = time
            .in_water_by
            .clone()
            .zip(time.three_man.map(|t| t.bellman_every_days))
            .or(row);
        wet_days.push((judge.problem.day(turn.first), long, i, turn.span()));
    }
    let Some((row, every)) = row else { return };
    let rule = part_of(
        &row,
        "dry-day",
        format!("a dry day as bellman at least every {every} days"),
    );
    let who = judge.initials(diver);
    for (k, &(day, long, i, when)) in wet_days.iter().enumerate() {
        // Wet days in unbroken sequence up to this one, and whether any of them used the longer time.
        let mut first = day;
        let mut any_long = long;
        for &(earlier, was_long, ..) in wet_days[..k].iter().rev() {
            if first - earlier > 1 {
                break;
            }
            first = earlier;
            if day - first < i64::from(every) {
                any_long |= was_long;
            }
        }
        if !any_long {
            continue;
        }
        let found = day - first + 1;
        let margin = Margin::Count {
            found,
            limit: i64::from(every) - 1,
        };
        let of = (WorkQuestion::DryDay, &rule);
        judge.hold(at(of, margin, (diver, i), when), || {
            format!(
                "{who}: {found} wet days in a row; a dry day at least every {every} days ({})",
                d_h(when.from_s)
            )
        });
    }
}
