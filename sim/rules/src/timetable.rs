//! A decompression as a timetable: steps of a stated size, each begun at a second, with rest hours in
//! which nobody travels. Pure arithmetic on figures the caller took from a rule set.

use super::DecompressionStep;
use super::edge::SAME as TINY;

const DAY_S: f64 = 86_400.0;

/// What a timetable is made from. Depths in msw.
#[derive(Clone, Debug)]
pub(super) struct Timetable {
    /// Where it starts.
    pub from_msw: f64,
    /// Where it ends.
    pub to_msw: f64,
    /// (deeper than, msw; seconds for one msw), deepest first.
    pub bands: Vec<(f64, f64)>,
    /// Size of a step, msw; steps land on whole multiples.
    pub step_msw: f64,
    /// Seconds for one msw of travel inside a step; none: the whole interval is travel.
    pub travel_s_per_msw: Option<f64>,
    /// Rest hours (from, to), seconds of the day.
    pub rest: Vec<(i64, i64)>,
    /// Last stop: depth in msw, seconds there, seconds for one msw from there to the surface.
    pub last_stop: Option<(f64, f64, f64)>,
    /// Second of the day at which the decompression starts.
    pub start_second_of_day: i64,
}

impl Timetable {
    /// The steps in order. Each step is made at the start of its interval; the interval that follows
    /// the last step is not waited for. Only hours outside rest count towards an interval, and a
    /// step is not begun that would not be over before the next rest.
    pub fn steps(&self) -> Vec<DecompressionStep> {
        let mut steps = Vec::new();
        let mut now = 0.0;
        let mut depth = self.from_msw / self.step_msw;
        let end = self.to_msw / self.step_msw;
        let stop = self.last_stop.filter(|_| self.to_msw == 0.0);
        while depth > end + TINY {
            let next = ((depth - TINY).ceil() - 1.0).max(end);
            let at_stop = |d: f64| stop.is_some_and(|(at, ..)| d * self.step_msw <= at + TINY);
            if let (Some((at, hold_s, out_s_per_msw)), true) = (stop, at_stop(depth)) {
                if steps.is_empty() {
                    now = self.after(now, hold_s * (depth * self.step_msw / at));
                }
                self.push(
                    &mut steps,
                    &mut now,
                    depth * self.step_msw * out_s_per_msw,
                    0.0,
                );
                break;
            }
            let msw = (depth - next) * self.step_msw;
            let interval = match stop {
                Some((_, hold_s, _)) if at_stop(next) => hold_s,
                _ => msw * self.pace(depth * self.step_msw),
            };
            let travel = self
                .travel_s_per_msw
                .map_or(interval, |pace| (pace * msw).min(interval));
            let started = self.push(&mut steps, &mut now, travel, next * self.step_msw);
            now = self.after(started, interval);
            depth = next;
        }
        steps
    }

    /// Writes a step that begins when it can be over before the next rest; gives its start.
    fn push(
        &self,
        steps: &mut Vec<DecompressionStep>,
        now: &mut f64,
        travel: f64,
        to_msw: f64,
    ) -> f64 {
        *now = self.room_for(*now, travel);
        let start_s = now.round() as i64;
        steps.push(DecompressionStep {
            start_s,
            to_msw,
            by_s: ((*now + travel).round() as i64).max(start_s + 1),
        });
        *now
    }

    /// Seconds for one msw when leaving a depth.
    fn pace(&self, depth_msw: f64) -> f64 {
        let band = self
            .bands
            .iter()
            .find(|(deeper_than, _)| depth_msw > deeper_than + TINY);
        band.or(self.bands.last()).map_or(0.0, |&(_, pace)| pace)
    }

    fn clock(&self, at: f64) -> f64 {
        (self.start_second_of_day as f64 + at).rem_euclid(DAY_S)
    }

    /// Seconds until the running rest is over; none outside rest.
    fn rest_left(&self, at: f64) -> Option<f64> {
        let clock = self.clock(at);
        let running = self.rest.iter().map(|&(from, to)| (from as f64, to as f64));
        running
            .filter(|&(from, to)| clock >= from - TINY && clock < to - TINY)
            .map(|(_, to)| to - clock)
            .next()
    }

    /// Seconds until the next rest begins.
    fn until_rest(&self, at: f64) -> f64 {
        let clock = self.clock(at);
        self.rest
            .iter()
            .map(|&(from, _)| (from as f64 - clock).rem_euclid(DAY_S))
            .fold(f64::INFINITY, f64::min)
    }

    /// When a number of seconds outside rest have gone by.
    fn after(&self, mut at: f64, mut work: f64) -> f64 {
        loop {
            if let Some(rest) = self.rest_left(at) {
                at += rest;
                continue;
            }
            let free = self.until_rest(at);
            if work <= free + TINY {
                return at + work;
            }
            work -= free;
            at += free;
        }
    }

    /// First moment at which a travel of this length fits before the next rest; where it fits
    /// nowhere in a day, the first moment outside rest.
    fn room_for(&self, at: f64, travel: f64) -> f64 {
        let mut now = self.after(at, 0.0);
        for _ in 0..=self.rest.len() {
            if let Some(rest) = self.rest_left(now) {
                now += rest;
            } else if travel <= self.until_rest(now) + TINY {
                return now;
            } else {
                now += self.until_rest(now);
            }
            now = self.after(now, 0.0);
        }
        self.after(at, 0.0)
    }
}
