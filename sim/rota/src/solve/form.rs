//! What a turn of a given length looks like inside: who is in the water when, and how much work it holds.
//!
//! With two in the bell one works while the other tends him, then they change; with three or more all but
//! one work together. Where a set allows longer in the water with a break, the longer of the two is taken.

use crate::limits::Limits;
use crate::rule::House;
use crate::types::{Bell, Span};

/// Less than this in the water is not worth a turn, s.
pub const LEAST_WET_S: i64 = 1800;

/// The frame of turns of one crew size in one bell at one depth.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    size: usize,
    out_s: i64,
    home_s: i64,
    change_s: i64,
    /// Longest time in the water of a diver without a break, s.
    water_s: i64,
    /// Longest with the break counted, the break, and where it lies.
    long: Option<(i64, i64, (i64, i64))>,
    /// Longest turn allowed, s.
    run_s: i64,
}

/// A turn from the inside, in seconds from its start.
#[derive(Clone, Debug, PartialEq)]
pub struct Inside {
    /// Time in the water of each who works, in order of leaving the bell.
    pub wet: Vec<Vec<Span>>,
    /// Time in which someone is in the water, s.
    pub bottom_s: i64,
    /// Whether the longer time in the water is used.
    pub long: bool,
}

impl Form {
    /// For so many in a bell at the depth of the limits.
    pub fn new(size: usize, bell: &Bell, limits: &Limits, house: &House) -> Form {
        let planned_s = house.planned_water_s.unwrap_or(i64::MAX);
        let long = limits
            .long_water
            .as_ref()
            .filter(|l| size >= 3 && size <= usize::from(l.dry_every_days));
        Form {
            size,
            out_s: bell.way_out_s(limits.depth_msw),
            home_s: bell.way_home_s(limits.depth_msw),
            change_s: bell.change_s,
            water_s: limits.in_water.s.min(planned_s),
            long: long.map(|l| {
                (
                    l.s.min(planned_s.saturating_add(l.break_s)),
                    l.break_s,
                    l.between_s,
                )
            }),
            run_s: limits.bell_run.s,
        }
    }

    /// Time of a turn in which nobody can be in the water, s.
    pub fn around_s(&self) -> i64 {
        self.out_s + self.home_s + if self.size == 2 { self.change_s } else { 0 }
    }

    /// Shortest turn that is worth it, s.
    pub fn shortest_s(&self) -> i64 {
        self.around_s() + LEAST_WET_S
    }

    /// Longest turn that is of use, s: longer ones bring no more time in the water.
    pub fn longest_s(&self) -> i64 {
        let turns = if self.size == 2 { 2 } else { 1 };
        let plain = self.around_s() + turns * self.water_s;
        let long = self.long.map_or(0, |(s, ..)| self.around_s() + s);
        self.run_s.min(plain.max(long))
    }

    /// A line that no turn's time in the water lies above, by the time left besides what is around it: its
    /// share, and seconds on top. From the longest water without a break to the longest with it.
    pub fn line(&self) -> (f64, f64) {
        match self.long {
            Some((most_s, pause_s, _)) if most_s - pause_s > self.water_s => {
                let share =
                    (most_s - pause_s - self.water_s) as f64 / (most_s - self.water_s) as f64;
                (share, self.water_s as f64 * (1.0 - share))
            }
            _ => (1.0, 0.0),
        }
    }

    /// What a turn of a length holds; none where it is too short.
    pub fn inside(&self, length_s: i64) -> Option<Inside> {
        let length_s = length_s.min(self.run_s);
        let free_s = length_s - self.around_s();
        if free_s < LEAST_WET_S {
            return None;
        }
        if self.size == 2 {
            let each_s = self.water_s.min(free_s / 2);
            let first = Span::new(self.out_s, self.out_s + each_s);
            let second_from = first.to_s + self.change_s;
            let second = Span::new(second_from, second_from + each_s);
            return Some(Inside {
                wet: vec![vec![first], vec![second]],
                bottom_s: 2 * each_s,
                long: false,
            });
        }
        let plain_s = self.water_s.min(free_s);
        let (spans, bottom_s, long) = match self.with_break(free_s) {
            Some((spans, bottom_s)) if bottom_s > plain_s => (spans, bottom_s, true),
            _ => (
                vec![Span::new(self.out_s, self.out_s + plain_s)],
                plain_s,
                false,
            ),
        };
        Some(Inside {
            wet: vec![spans; self.size - 1],
            bottom_s,
            long,
        })
    }

    fn with_break(&self, free_s: i64) -> Option<(Vec<Span>, i64)> {
        let (most_s, pause_s, (from_s, to_s)) = self.long?;
        let whole_s = most_s.min(free_s);
        let at_s = ((whole_s - pause_s) / 2).clamp(from_s, (to_s - pause_s).max(from_s));
        if whole_s <= at_s + pause_s {
            return None;
        }
        let out = |from: i64, to: i64| Span::new(self.out_s + from, self.out_s + to);
        Some((
            vec![out(0, at_s), out(at_s + pause_s, whole_s)],
            whole_s - pause_s,
        ))
    }
}
