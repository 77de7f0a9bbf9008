//! The day of a diver in saturation: what he does when nobody tells him, from the clock and from his bell
//! runs alone.
//!
//! Common practice, no source: eight hours of sleep out of each day, in the chamber's night where his runs
//! allow; an hour of washing, meal and tidying after sleep and after a run, and an hour before sleep; half
//! an hour of exercise on days without a run. A long gap that leaves him up for too long before his first
//! night, or between his last night and his next run, gets a nap.

use deepstay_plant::Activity;

const HOUR_S: i64 = 3600;
const DAY_S: i64 = 86_400;
/// Sleep in a day, s.
pub const SLEEP_S: i64 = 8 * HOUR_S;
/// Awake after a run and before the next, at least, s.
pub const MARGIN_S: i64 = HOUR_S;
/// A gap between runs longer than this has nights of its own, s.
const LONG_GAP_S: i64 = 30 * HOUR_S;
/// Longest he is left up before a nap, s.
const UP_S: i64 = 14 * HOUR_S;
/// A nap, s.
const NAP_S: i64 = 4 * HOUR_S;
const EXERCISE_S: i64 = HOUR_S / 2;
const EXERCISE_AFTER_S: i64 = 4 * HOUR_S;

/// The clock of the ship and of the chamber's night.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DayClock {
    /// Second of the ship's day at second 0.
    pub start_second_of_day: i64,
    /// Seconds of the day at which the chamber's night begins and ends; may run over midnight.
    pub night_s: (i64, i64),
}

/// A bell run of the diver, from its checks to his coming back, in seconds of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OwnRun {
    /// He is called.
    pub from_s: i64,
    /// He is back in his chamber.
    pub to_s: i64,
}

/// What a diver does at second `now_s` unless told otherwise, and the second until which that holds.
/// `runs` are his bell runs in order of time; during one he is [`Activity::Bellman`] until told more.
pub fn schedule(now_s: i64, clock: DayClock, runs: &[OwnRun]) -> (Activity, i64) {
    let before = runs.iter().rev().find(|r| r.from_s <= now_s);
    if let Some(run) = before.filter(|r| now_s < r.to_s) {
        return (Activity::Bellman, run.to_s);
    }
    let after = runs.iter().find(|r| r.from_s > now_s);
    let gap = Gap {
        from_s: before.map(|r| r.to_s),
        to_s: after.map(|r| r.from_s),
        clock,
    };
    gap.activity(now_s)
}

/// The time between two runs; open at an end where there is no run on that side.
#[derive(Clone, Copy)]
struct Gap {
    from_s: Option<i64>,
    to_s: Option<i64>,
    clock: DayClock,
}

impl Gap {
    fn activity(&self, now_s: i64) -> (Activity, i64) {
        let (mut slept, mut bed) = (None::<(i64, i64)>, None::<(i64, i64)>);
        for sleep in self.sleeps(now_s).into_iter().flatten() {
            if sleep.0 <= now_s && now_s < sleep.1 {
                return (Activity::Sleep, sleep.1);
            }
            if sleep.1 <= now_s {
                slept = slept.max(Some(sleep));
            } else if bed.is_none_or(|b| sleep < b) {
                bed = Some(sleep);
            }
        }
        let up_s = slept.map(|s| s.1).or(self.from_s);
        let ends_s = bed.map(|b| b.0).or(self.to_s);
        let until = |s: i64| ends_s.map_or(s, |e| s.min(e));
        if let Some(bed) = bed
            && now_s >= bed.0 - HOUR_S
        {
            return (Activity::Chores, bed.0);
        }
        let dusk_s = bed.map_or(i64::MAX, |b| b.0 - HOUR_S);
        if let Some(up_s) = up_s {
            if now_s < up_s + HOUR_S {
                return (Activity::Chores, until((up_s + HOUR_S).min(dusk_s)));
            }
            let exercise_s = up_s + EXERCISE_AFTER_S;
            if self.is_long() && slept.is_some_and(|s| s.1 - s.0 > NAP_S) {
                if now_s < exercise_s {
                    return (Activity::Rest, until(exercise_s.min(dusk_s)));
                }
                if now_s < exercise_s + EXERCISE_S {
                    return (
                        Activity::Exercise,
                        until((exercise_s + EXERCISE_S).min(dusk_s)),
                    );
                }
            }
        }
        (Activity::Rest, until(dusk_s.min(now_s + DAY_S)))
    }

    fn is_long(&self) -> bool {
        match (self.from_s, self.to_s) {
            (Some(from), Some(to)) => to - from > LONG_GAP_S,
            _ => true,
        }
    }

    /// Every sleep of the gap that may touch the day about `now_s`.
    fn sleeps(&self, now_s: i64) -> [Option<(i64, i64)>; 5] {
        let mut sleeps = [None; 5];
        if let (Some(from), Some(to), false) = (self.from_s, self.to_s, self.is_long()) {
            sleeps[0] = self.only_sleep(from + MARGIN_S, to - MARGIN_S);
            return sleeps;
        }
        let night = self.night_near(now_s);
        for (slot, days) in sleeps.iter_mut().zip(-1..=1) {
            *slot = self.kept(night + days * DAY_S);
        }
        if let Some(from) = self.from_s {
            let first = (self.night_near(from) - DAY_S..)
                .step_by(DAY_S as usize)
                .find_map(|n| self.kept(n));
            let nap = (from + MARGIN_S, from + MARGIN_S + NAP_S);
            sleeps[3] = first.filter(|f| f.0 - from > UP_S).map(|_| nap);
        }
        if let Some(to) = self.to_s {
            let nights = [1, 0, -1, -2].map(|d| self.night_near(to) + d * DAY_S);
            let last = nights.into_iter().find_map(|n| self.kept(n));
            let nap = (to - MARGIN_S - NAP_S, to - MARGIN_S);
            sleeps[4] = last.filter(|l| to - l.1 > UP_S).map(|_| nap);
        }
        sleeps
    }

    /// Of a short gap's one sleep: the eight hours with most of the night in them, the earliest of equals.
    fn only_sleep(&self, low_s: i64, high_s: i64) -> Option<(i64, i64)> {
        if high_s - low_s <= SLEEP_S {
            return (high_s > low_s).then_some((low_s, high_s));
        }
        let in_night = |start: i64| {
            let near = self.night_near(start);
            (-1..=1)
                .map(|d| SLEEP_S - (near + d * DAY_S - start).abs())
                .max()
                .unwrap_or(0)
                .max(0)
        };
        let near = self.night_near(low_s);
        let starts = [low_s, high_s - SLEEP_S, near, near + DAY_S];
        let within = starts
            .into_iter()
            .filter(|s| (low_s..=high_s - SLEEP_S).contains(s));
        let start = within.max_by_key(|&s| (in_night(s), -s))?;
        Some((start, start + SLEEP_S))
    }

    /// A night that begins at `start_s`, as far as the gap leaves of it; none if that is under half.
    fn kept(&self, start_s: i64) -> Option<(i64, i64)> {
        let low = self.from_s.map_or(start_s, |f| start_s.max(f + MARGIN_S));
        let high = self
            .to_s
            .map_or(start_s + SLEEP_S, |t| (start_s + SLEEP_S).min(t - MARGIN_S));
        (high - low >= NAP_S).then_some((low, high))
    }

    /// Start of the sleep of the night that begins in the day about a second: eight hours in the middle of
    /// the chamber's night.
    fn night_near(&self, now_s: i64) -> i64 {
        let (from, to) = self.clock.night_s;
        let start_of_day = now_s - (now_s + self.clock.start_second_of_day).rem_euclid(DAY_S);
        let length = (to - from).rem_euclid(DAY_S);
        start_of_day + from + (length - SLEEP_S) / 2
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CLOCK: DayClock = DayClock {
        start_second_of_day: 6 * HOUR_S,
        night_s: (22 * HOUR_S, 6 * HOUR_S),
    };

    /// Hours of each activity over a span, found by following `until`; checked to be what asking at any
    /// second in between gives.
    fn hours(from_s: i64, to_s: i64, runs: &[OwnRun]) -> [f64; 9] {
        let mut hours = [0.0; 9];
        let mut now = from_s;
        while now < to_s {
            let (activity, until) = schedule(now, CLOCK, runs);
            assert!(until > now, "{activity:?} at {now} until {until}");
            for between in [now + 1, (now + until) / 2, until - 1] {
                if (now..until).contains(&between) {
                    assert_eq!(
                        schedule(between, CLOCK, runs),
                        (activity, until),
                        "{now} {between}"
                    );
                }
            }
            hours[activity as usize] += (until.min(to_s) - now) as f64 / 3600.0;
            now = until;
        }
        hours
    }

    fn daily(at_h: i64, length_h: i64, days: i64) -> Vec<OwnRun> {
        let at = |day: i64| day * DAY_S + at_h * HOUR_S;
        (0..days)
            .map(|d| OwnRun {
                from_s: at(d),
                to_s: at(d) + length_h * HOUR_S,
            })
            .collect()
    }

    #[test]
    fn whatever_the_hour_of_his_daily_run_he_sleeps_eight_hours() {
        for at_h in 0..24 {
            let hours = hours(2 * DAY_S, 9 * DAY_S, &daily(at_h, 8, 12));
            let a_day = hours.map(|h| h / 7.0);
            assert!(
                (a_day[Activity::Sleep as usize] - 8.0).abs() < 0.6,
                "{at_h}: {a_day:?}"
            );
            assert!((a_day[Activity::Bellman as usize] - 8.0).abs() < 0.6);
            assert_eq!(a_day[Activity::Exercise as usize], 0.0);
            assert!((a_day.iter().sum::<f64>() - 24.0).abs() < 1e-9);
        }
    }

    #[test]
    fn without_runs_he_keeps_the_chambers_night_and_exercises() {
        let hours = hours(0, 10 * DAY_S, &[]).map(|h| h / 10.0);
        assert!(
            (hours[Activity::Sleep as usize] - 8.0).abs() < 0.3,
            "{hours:?}"
        );
        assert!((hours[Activity::Exercise as usize] - 0.5).abs() < 0.1);
        assert!((hours[Activity::Chores as usize] - 2.0).abs() < 0.3);
        // 22:00 is second 57,600 of a job that starts at 06:00.
        assert_eq!(
            schedule(57_600, CLOCK, &[]),
            (Activity::Sleep, 57_600 + SLEEP_S)
        );
    }

    #[test]
    fn a_short_gap_is_slept_as_far_as_it_goes_and_a_tiny_one_not_at_all() {
        let runs = |gap_h: i64| {
            [
                OwnRun {
                    from_s: 0,
                    to_s: 8 * HOUR_S,
                },
                OwnRun {
                    from_s: (8 + gap_h) * HOUR_S,
                    to_s: (16 + gap_h) * HOUR_S,
                },
            ]
        };
        assert_eq!(hours(8 * HOUR_S, 14 * HOUR_S, &runs(6))[0], 4.0);
        assert_eq!(hours(8 * HOUR_S, 9 * HOUR_S, &runs(1))[0], 0.0);
    }

    #[test]
    fn a_gap_of_two_days_after_a_night_run_is_never_more_than_sixteen_hours_up() {
        for to_h in 31..80 {
            let runs = [
                OwnRun {
                    from_s: -8 * HOUR_S,
                    to_s: 0,
                },
                OwnRun {
                    from_s: to_h * HOUR_S,
                    to_s: (to_h + 8) * HOUR_S,
                },
            ];
            let (mut now, mut up_s) = (0, 0);
            while now < to_h * HOUR_S {
                let (activity, until) = schedule(now, CLOCK, &runs);
                if activity == Activity::Sleep {
                    up_s = until;
                } else {
                    assert!(
                        until.min(to_h * HOUR_S) - up_s <= 17 * HOUR_S,
                        "{to_h}: {now}"
                    );
                }
                now = until;
            }
        }
    }

    /// A ship whose clock is the job's, with the night from 22:00 to 06:00.
    const MIDNIGHT: DayClock = DayClock {
        start_second_of_day: 0,
        night_s: (22 * HOUR_S, 6 * HOUR_S),
    };

    fn run(from_h: f64, to_h: f64) -> OwnRun {
        let second = |h: f64| (h * 3600.0) as i64;
        OwnRun {
            from_s: second(from_h),
            to_s: second(to_h),
        }
    }

    /// What he begins at which hour of the job, until an hour.
    fn course(clock: DayClock, from_h: f64, to_h: f64, runs: &[OwnRun]) -> Vec<(f64, Activity)> {
        let mut course = Vec::new();
        let mut now = (from_h * 3600.0) as i64;
        while (now as f64) < to_h * 3600.0 {
            let (activity, until) = schedule(now, clock, runs);
            assert!(until > now, "{activity:?} at {now} until {until}");
            course.push((now as f64 / 3600.0, activity));
            now = until;
        }
        course
    }

    /// By hand: back at 01:30 of day 2 (hour 49.5). What is left of that night after an hour is 3.5 h, less than half, and
    /// the next is 20.5 h off: a nap of four hours. Then the evening's hour, the night, and exercise four hours after it;
    /// none after a nap.
    #[test]
    fn back_late_at_night_he_naps_and_keeps_the_next_night() {
        use Activity::*;
        let by_hand = [
            (49.5, Chores),
            (50.5, Sleep),
            (54.5, Chores),
            (55.5, Rest),
            (69.0, Chores),
            (70.0, Sleep),
            (78.0, Chores),
            (79.0, Rest),
            (82.0, Exercise),
            (82.5, Rest),
            (93.0, Chores),
            (94.0, Sleep),
        ];
        assert_eq!(course(MIDNIGHT, 49.5, 95.0, &[run(41.5, 49.5)]), by_hand);
    }

    /// By hand: up at 06:00 of day 2 (hour 54) and called at 21:00 (hour 69), fifteen hours later: four hours of nap that
    /// end an hour before. Called at 20:00 he has no nap, and at 18:00 neither.
    #[test]
    fn before_a_late_run_he_naps() {
        use Activity::*;
        let morning = [
            (46.0, Sleep),
            (54.0, Chores),
            (55.0, Rest),
            (58.0, Exercise),
            (58.5, Rest),
        ];
        let nap = [(63.0, Chores), (64.0, Sleep), (68.0, Chores)];
        let until = |to_h: f64| {
            let runs = [run(0.0, 8.0), run(to_h, to_h + 8.0)];
            course(MIDNIGHT, 46.0, to_h, &runs)
        };
        assert_eq!(until(69.0), [morning.as_slice(), &nap].concat());
        assert_eq!(until(68.0), morning);
        assert_eq!(until(66.0), morning);
        // A second more than fourteen hours is too long.
        let called_s = 68 * HOUR_S + 1;
        let late = OwnRun {
            from_s: called_s,
            to_s: called_s + HOUR_S,
        };
        assert_eq!(
            schedule(65 * HOUR_S, MIDNIGHT, &[run(0.0, 8.0), late]),
            (Sleep, called_s - HOUR_S)
        );
    }

    /// Back at 08:00 the night is fourteen hours off, and he stays up; a second earlier, he naps.
    #[test]
    fn fourteen_hours_up_are_no_nap_and_a_second_more_is_one() {
        let back = |to_s: i64| [OwnRun { from_s: 0, to_s }];
        let at_h = |h: i64, to_s: i64| schedule(h * HOUR_S, MIDNIGHT, &back(to_s));
        assert_eq!(at_h(10, 8 * HOUR_S), (Activity::Rest, 21 * HOUR_S));
        assert_eq!(at_h(10, 8 * HOUR_S - 1), (Activity::Sleep, 13 * HOUR_S - 1));
    }

    /// A night that a run leaves half of, four hours, is kept, and one that it leaves a second less of is not. A run that is
    /// called at 05:00 ends the night at 04:00.
    #[test]
    fn half_a_night_is_kept() {
        let back = |to_s: i64| {
            [OwnRun {
                from_s: 36 * HOUR_S,
                to_s,
            }]
        };
        let at_three = |to_s: i64| schedule(51 * HOUR_S, MIDNIGHT, &back(to_s));
        assert_eq!(at_three(49 * HOUR_S), (Activity::Sleep, 54 * HOUR_S));
        assert_eq!(
            at_three(49 * HOUR_S + 1),
            (Activity::Sleep, 54 * HOUR_S + 1),
            "a nap instead"
        );
        let runs = [run(0.0, 8.0), run(53.0, 61.0)];
        assert_eq!(
            course(MIDNIGHT, 45.0, 53.0, &runs),
            [
                (45.0, Activity::Chores),
                (46.0, Activity::Sleep),
                (52.0, Activity::Chores),
            ]
        );
    }

    /// The one sleep between two runs of which neither leaves a night, by hand: as much of 22:00 to 06:00 as can be, the
    /// earliest of equals. Of a chamber whose night is from 12:00 to 20:00, the next day's.
    #[test]
    fn the_one_sleep_of_a_short_gap_lies_where_most_of_the_night_is() {
        let by_day = DayClock {
            night_s: (12 * HOUR_S, 20 * HOUR_S),
            ..MIDNIGHT
        };
        let sleeps = |clock: DayClock, back_h: f64, called_h: f64| {
            let runs = [run(back_h - 8.0, back_h), run(called_h, called_h + 8.0)];
            let course = course(clock, back_h, called_h, &runs);
            let begin = |k: usize| course.get(k).map_or(called_h, |c| c.0);
            let slept = course.iter().enumerate();
            slept
                .filter(|(_, c)| c.1 == Activity::Sleep)
                .map(|(k, c)| (c.0, begin(k + 1)))
                .collect::<Vec<_>>()
        };
        // 09:00 to 21:00 of day 2: no hour of the night in it.
        assert_eq!(sleeps(MIDNIGHT, 56.0, 70.0), [(57.0, 65.0)]);
        // 17:00 to 03:00: from 17:00 three hours of the night, from 19:00 five.
        assert_eq!(sleeps(MIDNIGHT, 64.0, 76.0), [(67.0, 75.0)]);
        // 01:00 to 02:00 of the next day: from 01:00 five hours of the night before, from 18:00 four of the next.
        assert_eq!(sleeps(MIDNIGHT, 48.0, 75.0), [(49.0, 57.0)]);
        // 17:00 to 21:00 of the next day, and the night from 12:00 to 20:00.
        assert_eq!(sleeps(by_day, 64.0, 94.0), [(84.0, 92.0)]);
        // Between runs that leave thirty hours there is one sleep, and a second more has nights of its own.
        assert_eq!(sleeps(MIDNIGHT, 68.0, 98.0), [(70.0, 78.0)]);
        let longer = 98.0 + 1.0 / 3600.0;
        assert_eq!(sleeps(MIDNIGHT, 68.0, longer).len(), 2);
        // Two hours are an hour after the run and an hour before the next: no sleep at all.
        let runs = [run(48.0, 56.0), run(58.0, 66.0)];
        assert_eq!(
            course(MIDNIGHT, 56.0, 58.0, &runs),
            [(56.0, Activity::Chores), (57.0, Activity::Rest)]
        );
    }

    /// Ten hours of night from 21:00: the sleep is the eight in the middle. At noon of the first day there is nothing to
    /// do until 21:00.
    #[test]
    fn he_sleeps_in_the_middle_of_the_night_and_rests_at_noon() {
        let clock = DayClock {
            start_second_of_day: 12 * HOUR_S,
            night_s: (21 * HOUR_S, 7 * HOUR_S),
        };
        assert_eq!(schedule(0, clock, &[]), (Activity::Rest, 9 * HOUR_S));
        assert_eq!(
            schedule(34 * HOUR_S, clock, &[]),
            (Activity::Sleep, 42 * HOUR_S)
        );
    }
}
