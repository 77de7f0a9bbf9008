//! How tiring a rota is and what seafarers' rest it leaves: the equations of [`super::fatigue`] and the
//! questions of [`super::seafarer`] asked of every diver's turns. Beside the verdict, never in its place.

use super::fatigue::{Band, Peak, SETTLED, Sleeper, presumed_sleep};
use super::seafarer::{Worst, worst};
use super::types::{Problem, Rota, Span};
use deepstay_core::units::DiverId;

const HOUR_S: i64 = 3600;
const DAY_S: i64 = 24 * HOUR_S;
/// When someone who sleeps at night is taken to have woken on the day before his first sleep here, second
/// of the ship's day (our own choice, no source).
const WAKES_S: i64 = 7 * HOUR_S;

/// One turn of a diver and how sleepy it is likely to find him.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TiredRun {
    /// Place in the rota.
    pub turn: usize,
    /// The highest sleepiness in it.
    pub peak: Peak,
}

/// A diver's presumed sleep, his turns, and the rest he is left.
#[derive(Clone, Debug, PartialEq)]
pub struct Tired {
    /// Who.
    pub diver: DiverId,
    /// Presumed sleep, in order of time.
    pub sleeps: Vec<Span>,
    /// His turns, in order of time.
    pub runs: Vec<TiredRun>,
    /// The worst case of each thing the seafarers' rules ask; checks before a turn count as work. Empty
    /// where he has no turn.
    pub rest: Vec<Worst>,
}

impl Tired {
    /// How many of his turns lie in a band.
    pub fn count(&self, band: Band) -> usize {
        self.runs
            .iter()
            .filter(|t| Band::of(t.peak.middle) == band)
            .count()
    }
}

/// The work of one diver: from the start of the checks until he is home through the trunk.
pub fn work_of(problem: &Problem, rota: &Rota, diver: DiverId) -> Vec<(usize, Span)> {
    let turns = rota
        .runs
        .iter()
        .enumerate()
        .filter(|(_, t)| t.position_of(diver).is_some());
    turns
        .map(|(i, t)| {
            let around = problem.bell(t.bell).map(|b| (b.lead_s, b.tail_s));
            let (lead_s, tail_s) = around.unwrap_or((0, 0));
            (i, Span::new(t.first - lead_s, t.last + tail_s))
        })
        .collect()
}

/// Every diver in order of id. `night` are seconds of the ship's day, from and to.
pub fn tired(problem: &Problem, rota: &Rota, night: (i64, i64)) -> Vec<Tired> {
    let clock = problem.start_second_of_day;
    let divers = (0u8..).zip(&problem.divers).map(|(i, _)| DiverId(i));
    divers
        .map(|diver| {
            let work = work_of(problem, rota, diver);
            let spans: Vec<Span> = work.iter().map(|(_, s)| *s).collect();
            let (Some(first), Some(last)) = (spans.first(), spans.last()) else {
                return Tired {
                    diver,
                    sleeps: Vec::new(),
                    runs: Vec::new(),
                    rest: Vec::new(),
                };
            };
            // A few nights before the first turn, so that it does not start on a guess.
            let day = (first.from_s + clock).div_euclid(DAY_S) - 3;
            let woke_s = day * DAY_S + WAKES_S - clock;
            let sleeps = presumed_sleep(
                &spans,
                woke_s + 12 * HOUR_S,
                last.to_s + DAY_S,
                clock,
                night,
            );
            let sleeper = Sleeper::new(clock, woke_s, SETTLED, &sleeps);
            let turns = work
                .iter()
                .map(|(turn, _)| TiredRun {
                    turn: *turn,
                    peak: sleeper.peak(rota.runs[*turn].span()),
                })
                .collect();
            Tired {
                diver,
                sleeps,
                runs: turns,
                rest: worst(&spans),
            }
        })
        .collect()
}

/// The rest of those who keep watches of twelve hours, handed over at two seconds of the day: each of the
/// two watches over so many days.
pub fn watch_rest(handover_s: [i64; 2], days: i64) -> [Vec<Worst>; 2] {
    let watch = |from: i64, to: i64| {
        let length = (to - from).rem_euclid(DAY_S);
        let work: Vec<Span> = (0..days.max(1))
            .map(|d| Span::new(d * DAY_S + from, d * DAY_S + from + length))
            .collect();
        worst(&work)
    };
    [
        watch(handover_s[0], handover_s[1]),
        watch(handover_s[1], handover_s[0]),
    ]
}
