//! Gates: the monitors of each cluster, gathered to the nearest values waited for of each thing watched, and
//! the next second at which one is met.

use super::monitor::{Monitor, Watched};
use super::watching::Watching;
use crate::bits::bits;
use crate::trajectory::evaluated::Evaluated;

/// The nearest values that anybody waits for of one thing watched: met at or above one, at or below the other.
#[derive(Clone, Copy, Debug)]
struct Gate {
    watched: Watched,
    /// The number of what is watched.
    number: u64,
    above: f64,
    below: f64,
}

impl Gate {
    fn met(&self, value: f64) -> bool {
        value >= self.above || value <= self.below
    }

    /// Whether a value between two, and a slack beyond them, may meet it.
    fn may_be_met(&self, (low, high): (f64, f64), slack: f64) -> bool {
        high + slack >= self.above || low - slack <= self.below
    }
}

/// An interval no longer than this is looked at second by second, which costs no more than bounding it, s.
const SHORT_S: i64 = 6;

/// Most gates of one cluster whose ranges are bounded; with more, each second is looked at.
const MOST_BOUNDED: usize = 128;

/// The gates by cluster.
#[derive(Clone, Debug, Default)]
pub(crate) struct Gates(Vec<Vec<Gate>>);

/// A second to look at, and how many were evaluated to find it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Found {
    /// The second.
    pub next_s: i64,
    /// How many were evaluated.
    pub evaluated: u64,
}

/// What follows from what a monitor looks at: its number, and the clusters that move it, as bits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Mark {
    pub number: u64,
    pub clusters: u32,
}

impl Mark {
    pub fn of(watched: Watched, watching: &Watching) -> Mark {
        Mark {
            number: watched.number(),
            clusters: watching.clusters(watched),
        }
    }
}

impl Gates {
    /// Gathers those of the monitors that belong to some clusters.
    pub fn gather<'a>(
        &mut self,
        monitors: impl Iterator<Item = (&'a Monitor, &'a Mark)>,
        of: u32,
        clusters: usize,
    ) {
        self.0.resize_with(clusters, Vec::new);
        for c in bits(of) {
            self.0[c].clear();
        }
        for (m, Mark { number, clusters }) in monitors {
            for c in bits(clusters & of) {
                let (gates, number) = (&mut self.0[c], *number);
                let at = gates.iter().position(|g| g.number == number);
                let at = at.unwrap_or_else(|| {
                    gates.push(Gate {
                        watched: m.watched,
                        number,
                        above: f64::INFINITY,
                        below: f64::NEG_INFINITY,
                    });
                    gates.len() - 1
                });
                let gate = &mut gates[at];
                if m.above {
                    gate.above = gate.above.min(m.value);
                } else {
                    gate.below = gate.below.max(m.value);
                }
            }
        }
    }

    /// When a cluster must be looked at again: the first second after `from_s` at which one of
    /// its monitors is met, or the end of its interval.
    pub fn next(&self, watching: &Watching, c: usize, from_s: i64, leap: bool) -> Found {
        let trajectories = watching.view.trajectories;
        let end_s = trajectories.clusters()[c].end_s();
        let mut found = Found {
            next_s: end_s,
            evaluated: 0,
        };
        let gates = &self.0[c];
        if gates.is_empty() || end_s <= from_s + 1 {
            return found;
        }
        let mut e = Evaluated::default();
        let bounded = leap && end_s - from_s > SHORT_S && gates.len() <= MOST_BOUNDED;
        let near = if bounded {
            self.may_be_met(watching, c, (from_s, end_s), &mut e, &mut found.evaluated)
        } else {
            u128::MAX
        };
        if near == 0 {
            return found;
        }
        for t in from_s + 1..end_s {
            trajectories.evaluate(c, t, &mut e);
            found.evaluated += 1;
            let met = |(k, g): (usize, &Gate)| {
                (!bounded || near & (1 << k) != 0) && g.met(watching.value(g.watched, &e, t))
            };
            if gates.iter().enumerate().any(met) {
                found.next_s = t;
                break;
            }
        }
        found
    }

    /// Which of a cluster's gates may be met between two seconds of an interval, as bits. What is
    /// not monotone there dies away as exponentials do (gas coming to its wall's temperature, a gauge
    /// coming to its value), so values are taken at times three times as far from the start each; half their range
    /// beyond either end covers what lies between (t^3 exp(-t), which rises and falls as steeply as four such in a row,
    /// goes 46 % of it beyond at the worst), and half a step what rounding adds. Gas on its way through a sample line has
    /// a shape of its own: whatever of it arrives is in the range.
    fn may_be_met(
        &self,
        watching: &Watching,
        c: usize,
        (from_s, end_s): (i64, i64),
        e: &mut Evaluated,
        evaluated: &mut u64,
    ) -> u128 {
        let gates = &self.0[c];
        let mut ranges = [(f64::INFINITY, f64::NEG_INFINITY); MOST_BOUNDED];
        let mut after = 0;
        loop {
            let t = (from_s + after).min(end_s);
            watching.view.trajectories.evaluate(c, t, e);
            *evaluated += 1;
            for (gate, (low, high)) in gates.iter().zip(&mut ranges) {
                let value = watching.unrounded(gate.watched, e, t);
                *low = low.min(value);
                *high = high.max(value);
            }
            if t == end_s {
                break;
            }
            after = (3 * after).max(1);
        }
        for (gate, range) in gates.iter().zip(&mut ranges) {
            if let Some((low, high)) = watching.on_its_way(gate.watched, (from_s, end_s)) {
                *range = (range.0.min(low), range.1.max(high));
            }
        }
        let near = |(k, (gate, range)): (usize, (&Gate, &(f64, f64)))| {
            let slack = 0.5 * (range.1 - range.0) + 0.51 * watching.resolution(gate.watched);
            u128::from(gate.may_be_met(*range, slack)) << k
        };
        let each = gates.iter().zip(&ranges).enumerate().map(near);
        each.fold(0, |bits, near| bits | near)
    }

    /// Gives each thing watched of a cluster for which, in an evaluated state, somebody waits no longer, and its value.
    pub fn met(
        &self,
        watching: &Watching,
        (c, e): (usize, &Evaluated),
        t_s: i64,
        mut give: impl FnMut(Watched, f64),
    ) {
        for gate in &self.0[c] {
            let value = watching.value(gate.watched, e, t_s);
            if gate.met(value) {
                give(gate.watched, value);
            }
        }
    }

    /// Whether anything is waited for in a cluster.
    pub fn any(&self, c: usize) -> bool {
        !self.0[c].is_empty()
    }
}
