//! How tired a turn is likely to find a diver: the three-process equations of sleepiness, and the sleep
//! that a rota leaves room for.
//!
//! Equations and figures: Ingre and others, PLoS ONE 9(10), 2014, e108679, as restated in public (Seen);
//! held to the printed table of 08:00 to 08:45. They were fitted on 136 aircrew. Divers, sleep under
//! pressure, heat and cold, and work in the water are outside their data; nothing here is a limit, and it
//! never stands in the place of a rule.

use super::seafarer::{joined, part};
use super::types::Span;

const HOUR_S: i64 = 3600;
const DAY_S: i64 = 24 * HOUR_S;
const TWO_PI: f64 = 2.0 * std::f64::consts::PI;

/// Lower end that alertness falls to while awake.
const AWAKE_END: f64 = 2.4;
/// Its rate, 1/h.
const AWAKE_PER_H: f64 = -0.0353;
/// Upper end that it rises to asleep.
const ASLEEP_END: f64 = 14.3;
/// Where its rise asleep turns from straight to slowing.
const BREAK: f64 = 12.2;
/// Hour of the clock at which the daily process is highest.
const PHASE_H: f64 = 16.8;
/// How far an early or a late person's daily process may lie from the mean, h. The paper sets it by one
/// question on chronotype; its hours were not seen, and this is our own choice.
pub const PHASE_SPREAD_H: f64 = 1.0;
/// Alertness at waking of one who sleeps from 23 to 07 every night (follows from the equations).
pub const SETTLED: f64 = 13.81983;
/// From here on the scale says sleepy: a starting point in the literature, no limit in any law.
pub const SLEEPY: f64 = 7.0;
/// Up to here the scale says alert, or neither alert nor sleepy.
pub const NEITHER: f64 = 5.0;

/// Rate of recovery asleep, 1/h: eight hours take 7.96 to 14 on the slowing branch alone.
fn asleep_per_h() -> f64 {
    libm::log((ASLEEP_END - 14.0) / (ASLEEP_END - 7.96)) / 8.0
}

/// Alertness after some hours awake.
pub fn awake(from: f64, hours: f64) -> f64 {
    AWAKE_END + (from - AWAKE_END) * libm::exp(AWAKE_PER_H * hours)
}

/// Alertness after some hours asleep.
pub fn asleep(from: f64, hours: f64) -> f64 {
    let rate = asleep_per_h();
    let slope = rate * (BREAK - ASLEEP_END);
    let straight_h = ((BREAK - from) / slope).max(0.0);
    if hours < straight_h {
        return from + slope * hours;
    }
    let turned = from.max(BREAK);
    ASLEEP_END - (ASLEEP_END - turned) * libm::exp(rate * (hours - straight_h))
}

/// The processes at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Processes {
    /// S: what sleep fills and waking drains.
    pub sleep: f64,
    /// C: the day's rise and fall.
    pub daily: f64,
    /// U: the half day's dip.
    pub half_daily: f64,
    /// W: grogginess after waking.
    pub waking: f64,
}

impl Processes {
    /// The processes at an hour of the clock, awake for so many hours.
    pub fn at(sleep: f64, clock_h: f64, awake_h: f64, phase_h: f64) -> Processes {
        let peak = PHASE_H + phase_h;
        Processes {
            sleep,
            daily: 2.5 * libm::cos(TWO_PI * (clock_h - peak) / 24.0),
            half_daily: -0.5 + 0.5 * libm::cos(TWO_PI * (clock_h - peak - 3.0) / 12.0),
            waking: -5.72 * libm::exp(-1.51 * awake_h),
        }
    }

    /// Sleepiness on the scale of 1 to 9 from S, C and U.
    pub fn sleepiness(&self) -> f64 {
        10.6 - 0.6 * (self.sleep + self.daily + self.half_daily)
    }

    /// The same with the grogginess after waking in it, as the printed table has it.
    pub fn sleepiness_with_waking(&self) -> f64 {
        self.sleepiness() - 0.6 * self.waking
    }
}

/// The words of the nine-point scale near a value.
pub fn scale_words(sleepiness: f64) -> &'static str {
    match sleepiness {
        k if k < 4.0 => "alert",
        k if k < 6.0 => "neither alert nor sleepy",
        k if k < 7.5 => "sleepy, no effort to stay awake",
        k if k < 8.5 => "sleepy, some effort to stay awake",
        _ => "fighting sleep",
    }
}

/// Which part of the scale a value falls into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Band {
    /// Under 5.
    Low,
    /// From 5 to under 7.
    Raised,
    /// 7 and more.
    High,
}

impl Band {
    /// The band of a value.
    pub fn of(sleepiness: f64) -> Band {
        match sleepiness {
            k if k >= SLEEPY => Band::High,
            k if k >= NEITHER => Band::Raised,
            _ => Band::Low,
        }
    }

    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            Band::Low => "low",
            Band::Raised => "raised",
            Band::High => "high",
        }
    }
}

/// The highest sleepiness of a turn, and how far it may lie from that for early and late people.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// When the middle one is highest, s.
    pub at_s: i64,
    /// The least of the three phases at that second.
    pub least: f64,
    /// The middle phase.
    pub middle: f64,
    /// The greatest of the three.
    pub most: f64,
}

/// One person's sleep, and alertness at the ends of each.
#[derive(Clone, Debug, PartialEq)]
pub struct Sleeper {
    /// Second of the ship's day at second 0.
    clock_of_zero_s: i64,
    first_s: i64,
    first: f64,
    /// Sleep, and alertness at its start and at its end.
    sleeps: Vec<(Span, f64, f64)>,
}

impl Sleeper {
    /// Someone who wakes at `first_s` with an alertness of `first` and then sleeps as given.
    pub fn new(clock_of_zero_s: i64, first_s: i64, first: f64, sleeps: &[Span]) -> Sleeper {
        let (mut at_s, mut level) = (first_s, first);
        let mut kept = Vec::new();
        for s in joined(sleeps, 0)
            .into_iter()
            .filter_map(|s| part(s, first_s, i64::MAX))
        {
            let start = awake(level, hours(s.from_s - at_s));
            level = asleep(start, hours(s.length_s()));
            at_s = s.to_s;
            kept.push((s, start, level));
        }
        Sleeper {
            clock_of_zero_s,
            first_s,
            first,
            sleeps: kept,
        }
    }

    /// The sleep.
    pub fn sleeps(&self) -> impl Iterator<Item = Span> + '_ {
        self.sleeps.iter().map(|(s, _, _)| *s)
    }

    /// The processes at a second, for a daily process that is `phase_h` later than the mean. Asleep, the
    /// grogginess after waking is that of the moment of waking.
    pub fn at(&self, at_s: i64, phase_h: f64) -> Processes {
        let before = self.sleeps.partition_point(|(s, _, _)| s.from_s <= at_s);
        let (sleep, awake_h) = match before.checked_sub(1).map(|i| self.sleeps[i]) {
            Some((s, start, _)) if at_s < s.to_s => (asleep(start, hours(at_s - s.from_s)), 0.0),
            Some((s, _, end)) => (awake(end, hours(at_s - s.to_s)), hours(at_s - s.to_s)),
            None => {
                let h = hours(at_s - self.first_s).max(0.0);
                (awake(self.first, h), h)
            }
        };
        let clock = (at_s + self.clock_of_zero_s).rem_euclid(DAY_S);
        Processes::at(sleep, hours(clock), awake_h, phase_h)
    }

    /// The highest sleepiness (S, C and U) of a span, looked at every ten minutes and at its end.
    pub fn peak(&self, turn: Span) -> Peak {
        let seconds = (turn.from_s..turn.to_s).step_by(600).chain([turn.to_s]);
        let middle = |at: i64| self.at(at, 0.0).sleepiness();
        let at_s = seconds
            .map(|at| (middle(at), at))
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)))
            .map_or(turn.to_s, |(_, at)| at);
        let all = [-PHASE_SPREAD_H, 0.0, PHASE_SPREAD_H].map(|p| self.at(at_s, p).sleepiness());
        Peak {
            at_s,
            least: all[0].min(all[1]).min(all[2]),
            middle: all[1],
            most: all[0].max(all[1]).max(all[2]),
        }
    }
}

fn hours(seconds: i64) -> f64 {
    seconds as f64 / HOUR_S as f64
}

/// Awake after a turn before sleep is thought of: shower, food, the log (our own choice, no source), s.
pub const AFTER_S: i64 = 3 * HOUR_S / 2;
/// Awake before a turn (our own choice, no source), s.
pub const BEFORE_S: i64 = HOUR_S;
/// Longest sleep that is presumed (our own choice, no source), s.
pub const SLEEP_S: i64 = 8 * HOUR_S;
/// Shorter than this it is not counted as sleep (our own choice, no source), s.
const LEAST_SLEEP_S: i64 = 2 * HOUR_S;
/// Awake between two sleeps where there is no work (our own choice, no source), s.
const BETWEEN_S: i64 = 14 * HOUR_S;

/// The sleep that work leaves room for between two seconds: up to eight hours in each rest, laid where it
/// meets most of the ship's night, else as soon after the turn as may be.
///
/// `night` are seconds of the ship's day, from and to. How people in saturation really sleep is not known
/// to the tool; this is a presumption, and a page that uses it says so.
pub fn presumed_sleep(
    work: &[Span],
    from_s: i64,
    to_s: i64,
    clock_of_zero_s: i64,
    night: (i64, i64),
) -> Vec<Span> {
    let duties = joined(work, 0);
    let mut sleeps = Vec::new();
    let mut free_from = from_s;
    let ends = duties
        .iter()
        .map(|d| (d.from_s - BEFORE_S, d.to_s + AFTER_S))
        .chain([(to_s, to_s)]);
    for (free_to, next_free) in ends {
        let mut earliest = free_from;
        while free_to - earliest >= LEAST_SLEEP_S {
            let length = SLEEP_S.min(free_to - earliest);
            let latest = (free_to - length).min(earliest + BETWEEN_S);
            let best = (earliest..=latest).step_by(900).max_by_key(|at| {
                (
                    in_night_s(
                        Span {
                            from_s: *at,
                            to_s: at + length,
                        },
                        clock_of_zero_s,
                        night,
                    ),
                    -at,
                )
            });
            let start = best.unwrap_or(earliest);
            sleeps.push(Span {
                from_s: start,
                to_s: start + length,
            });
            earliest = start + length + BETWEEN_S;
        }
        free_from = free_from.max(next_free);
    }
    sleeps
}

/// How much of a span lies in the ship's night, s.
pub fn in_night_s(span: Span, clock_of_zero_s: i64, night: (i64, i64)) -> i64 {
    let length = (night.1 - night.0).rem_euclid(DAY_S);
    let day_of = |s: i64| (s + clock_of_zero_s).div_euclid(DAY_S);
    (day_of(span.from_s) - 1..=day_of(span.to_s))
        .filter_map(|day| {
            let from = day * DAY_S + night.0 - clock_of_zero_s;
            part(span, from, from + length)
        })
        .map(Span::length_s)
        .sum()
}
