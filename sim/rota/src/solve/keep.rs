//! What teams keep to: each its bell, shared out so that bells of equal reach have as many teams as each
//! other or one more; and each its hours of the day, which are those of its first day and no others.

use super::setup::Setup;

const DAY_S: i64 = 86_400;

/// What each crew keeps to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Kept {
    /// Its bell; none: whichever is ready.
    pub bells: Vec<Option<usize>>,
    /// Its hours, seconds of the ship's day.
    hours: Vec<Vec<i64>>,
    /// From when on it takes no further hour.
    settled_s: Vec<i64>,
}

impl Kept {
    /// Nothing is kept to yet.
    pub fn new(crews: usize) -> Kept {
        Kept {
            bells: vec![None; crews],
            hours: vec![Vec::new(); crews],
            settled_s: vec![i64::MAX; crews],
        }
    }

    /// A crew has gone from a bell at a second.
    pub fn went(&mut self, setup: &Setup, crew: usize, bell: usize, at_s: i64) {
        if setup.problem.kept_bells {
            self.bells[crew].get_or_insert(bell);
        }
        let hour = hour(setup, at_s);
        if self.hours[crew].is_empty() {
            self.settled_s[crew] = at_s + DAY_S;
        }
        if !self.hours[crew].contains(&hour) {
            self.hours[crew].push(hour);
            self.hours[crew].sort_unstable();
        }
    }

    /// Whether a crew may go at a second: at its own hour; where it has none yet, at any; and on its first
    /// day at a further one that nobody else who lives there has in the same bell and that it can keep to day
    /// after day.
    pub fn may_go(
        &self,
        setup: &Setup,
        (crew, bell, depth): (usize, usize, usize),
        longest_s: i64,
        at_s: i64,
    ) -> bool {
        if !setup.problem.team_hours {
            return true;
        }
        let hour = hour(setup, at_s);
        if self.hours[crew].is_empty() || self.hours[crew].contains(&hour) {
            return true;
        }
        let taken = (0..self.hours.len()).any(|other| {
            let there = setup.crews[other]
                .windows
                .iter()
                .any(|w| w.span.to_s > at_s);
            other != crew
                && there
                && self.bells[other].is_none_or(|b| b == bell)
                && self.hours[other].contains(&hour)
        });
        at_s < self.settled_s[crew] && !taken && self.lasts(setup, (crew, depth), longest_s, hour)
    }

    /// Whether one more hour leaves the rest between all of them every day.
    fn lasts(
        &self,
        setup: &Setup,
        (crew, depth): (usize, usize),
        longest_s: i64,
        hour: i64,
    ) -> bool {
        let mut hours = self.hours[crew].clone();
        hours.push(hour);
        hours.sort_unstable();
        let limits = setup.depths[depth];
        let most = limits.runs_per_day.as_ref().map_or(u8::MAX, |(n, _)| *n);
        if hours.len() > usize::from(most) {
            return false;
        }
        let next = hours.iter().cycle().skip(1);
        let apart = hours
            .iter()
            .zip(next)
            .map(|(a, b)| match (b - a).rem_euclid(DAY_S) {
                0 => DAY_S,
                s => s,
            });
        apart.min().is_some_and(|s| s >= longest_s + limits.rest.s)
    }
}

fn hour(setup: &Setup, at_s: i64) -> i64 {
    (setup.problem.start_second_of_day + at_s).rem_euclid(DAY_S)
}

/// The ways to share the crews out among the bells that are tried, beside what is kept to already.
pub fn shared_out(setup: &Setup, start: &Kept) -> Vec<Kept> {
    let bells = setup.problem.bells.len();
    if !setup.problem.kept_bells || bells < 2 {
        return vec![start.clone()];
    }
    let mut all: Vec<Kept> = Vec::new();
    for first in 0..bells {
        for backwards in [false, true] {
            let mut kept = start.clone();
            let mut order: Vec<usize> = (0..setup.crews.len()).collect();
            if backwards {
                order.reverse();
            }
            for crew in order {
                if kept.bells[crew].is_none() {
                    kept.bells[crew] = emptiest(setup, &kept, crew, first);
                }
            }
            if !all.contains(&kept) {
                all.push(kept);
            }
        }
    }
    all
}

/// Of the bells that a crew reaches the one that the fewest others keep to while it is there.
fn emptiest(setup: &Setup, kept: &Kept, crew: usize, first: usize) -> Option<usize> {
    let windows = &setup.crews[crew].windows;
    let bells = setup.problem.bells.len();
    let beside = |other: usize| {
        let theirs = &setup.crews[other].windows;
        let meet = |w: &super::crews::Window| theirs.iter().any(|t| t.span.shared_s(w.span) > 0);
        windows.iter().any(meet)
    };
    let load = |bell: usize| {
        (0..setup.crews.len())
            .filter(|&o| o != crew && kept.bells[o] == Some(bell) && beside(o))
            .count()
    };
    (0..bells)
        .map(|i| (i + first) % bells)
        .filter(|&b| windows.iter().any(|w| w.reaches(b)))
        .min_by_key(|&b| load(b))
}
