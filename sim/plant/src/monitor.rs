//! Monitors: values that somebody waits for, shown or true, and the first whole second at which one
//! is met. Leaping skips only seconds in which none can be met; without leaping each is evaluated.

use super::core::{Evaluated, Plant};
use super::course::bits;
use crate::SamplePoint;
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// What a monitor looks at.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Watched {
    /// What an instrument shows.
    Shown(InstrumentId),
    /// The truth of a compartment's quantity.
    True(CompartmentId, Quantity),
}

/// A value that somebody waits for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Monitor {
    /// What it looks at.
    pub watched: Watched,
    /// Met at or above (true) or at or below (false) the value.
    pub above: bool,
    /// The value, in the quantity's unit.
    pub value: f64,
    /// Whose it is; given back when it is met.
    pub owner: u32,
}

impl Monitor {
    /// Whether a value meets it.
    pub fn met(&self, value: f64) -> bool {
        if self.above {
            value >= self.value
        } else {
            value <= self.value
        }
    }
}

/// Owner of the plant's own monitors (automatic oxygen): its compartment is added to it.
pub(super) const PLANT_OWNER: u32 = 1 << 30;

/// The nearest values that anybody waits for of one thing watched: met at or above one, at or below the other.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gate {
    watched: Watched,
    above: f64,
    below: f64,
}

impl Gate {
    fn met(&self, value: f64) -> bool {
        value >= self.above || value <= self.below
    }
}

/// An interval no longer than this is looked at second by second, which costs no more than bounding it, s.
const SHORT_S: i64 = 6;

/// Most gates of one cluster whose ranges are bounded; with more, each second is looked at.
const MOST_BOUNDED: usize = 64;

impl Plant {
    /// Replaces an owner's monitors by others, as of `t_s`.
    pub fn set_monitors(
        &mut self,
        owner: u32,
        list: impl IntoIterator<Item = (Watched, bool, f64)>,
        t_s: i64,
    ) {
        // Clusters whose monitors change, as bits: only there may the next second to look at be another.
        let mut changed = 0u32;
        let mut list = list.into_iter().map(|(watched, above, value)| Monitor {
            watched,
            above,
            value,
            owner,
        });
        let mut k = 0;
        while k < self.monitors.len() {
            if self.monitors[k].owner != owner {
                k += 1;
                continue;
            }
            let old = self.monitors[k];
            match list.next() {
                Some(new) if new == old => k += 1,
                Some(new) => {
                    changed |= self.watched_with(&old) | self.watched_with(&new);
                    self.monitors[k] = new;
                    k += 1;
                }
                None => {
                    changed |= self.watched_with(&old);
                    self.monitors.remove(k);
                }
            }
        }
        for new in list {
            changed |= self.watched_with(&new);
            self.monitors.push(new);
        }
        if changed != 0 {
            self.list_gates();
        }
        for c in 0..self.clusters.len() {
            if changed & (1 << c) != 0 && !self.clusters[c].dirty {
                self.find_next(c, t_s);
            }
        }
    }

    /// Gathers the monitors of each cluster into gates; called when either changes.
    pub(super) fn list_gates(&mut self) {
        let mut gates = std::mem::take(&mut self.gates);
        gates.resize_with(self.clusters.len(), Vec::new);
        gates.iter_mut().for_each(Vec::clear);
        for m in &self.monitors {
            for c in bits(self.watched_with(m)) {
                let Some(mine) = gates.get_mut(c) else {
                    continue;
                };
                let gate = match mine.iter().position(|g: &Gate| g.watched == m.watched) {
                    Some(k) => &mut mine[k],
                    None => {
                        mine.push(Gate {
                            watched: m.watched,
                            above: f64::INFINITY,
                            below: f64::NEG_INFINITY,
                        });
                        mine.last_mut().expect("one was just put in")
                    }
                };
                if m.above {
                    gate.above = gate.above.min(m.value);
                } else {
                    gate.below = gate.below.max(m.value);
                }
            }
        }
        self.gates = gates;
    }

    /// Owners of the monitors that are met at `t_s`, into `owners` (sorted, once each).
    pub fn met(&mut self, t_s: i64, owners: &mut Vec<u32>) {
        owners.clear();
        let mut e = self.borrow();
        let mut have = [false; crate::MAX_COMPARTMENTS];
        for m in 0..self.monitors.len() {
            let monitor = self.monitors[m];
            let Some(c) =
                bits(self.watched_with(&monitor)).find(|c| self.clusters[*c].next_s <= t_s)
            else {
                continue;
            };
            if !have[c] {
                self.evaluate(c, t_s, &mut e);
                self.evaluations += 1;
                have[c] = true;
            }
            if monitor.met(self.watch(monitor.watched, &e, t_s)) && !owners.contains(&monitor.owner)
            {
                owners.push(monitor.owner);
            }
        }
        self.give_back(e);
        owners.sort_unstable();
    }

    /// Clusters whose courses move what a monitor looks at, as bits: of a bank, each that is lined up to it, or the
    /// first if none is.
    fn watched_with(&self, m: &Monitor) -> u32 {
        let at = match m.watched {
            Watched::True(at, _) => at,
            Watched::Shown(k) => match self.probes[k.index()].connected {
                SamplePoint::Compartment(at) | SamplePoint::Sea(at) => at,
                SamplePoint::Bank(bank) => {
                    let lined_up = |c: &usize| self.banks_of(*c) & (1 << bank.index()) != 0;
                    let clusters = (0..self.clusters.len())
                        .filter(lined_up)
                        .fold(0, |bits, c| bits | 1 << c);
                    return if clusters == 0 { 1 } else { clusters };
                }
            },
        };
        1 << self.cluster_of[at.index()]
    }

    fn watch(&self, watched: Watched, e: &Evaluated, t_s: i64) -> f64 {
        match watched {
            Watched::True(at, q) => self.true_in(at.index(), e, q, t_s),
            Watched::Shown(k) => self.shown_in(k.index(), e, t_s),
        }
    }

    /// Finds when a cluster must be looked at again: the first second after `from_s` at which one of
    /// its monitors is met, or the end of its interval.
    pub(super) fn find_next(&mut self, c: usize, from_s: i64) {
        let end_s = self.clusters[c].t_s + self.clusters[c].h_s;
        self.clusters[c].next_s = end_s;
        if self.gates[c].is_empty() || end_s <= from_s + 1 {
            return;
        }
        let mut e = self.borrow();
        let near =
            !self.leap || end_s - from_s <= SHORT_S || self.may_be_met(c, from_s, end_s, &mut e);
        for t in if near {
            from_s + 1..end_s
        } else {
            end_s..end_s
        } {
            self.evaluate(c, t, &mut e);
            self.evaluations += 1;
            if self.gates[c]
                .iter()
                .any(|g| g.met(self.watch(g.watched, &e, t)))
            {
                self.clusters[c].next_s = t;
                break;
            }
        }
        self.give_back(e);
    }

    /// Whether one of a cluster's monitors may be met between two seconds of an interval. What is
    /// not monotone there dies away as exponentials do (gas coming to its wall's temperature, a gauge
    /// coming to its value), so values are taken at times that double from the start; half their range
    /// beyond either end covers what lies between, and half a step what rounding adds.
    fn may_be_met(&mut self, c: usize, from_s: i64, end_s: i64, e: &mut Evaluated) -> bool {
        let mut ranges = [(f64::INFINITY, f64::NEG_INFINITY); MOST_BOUNDED];
        if self.gates[c].len() > MOST_BOUNDED {
            return true;
        }
        let mut after = 0;
        loop {
            let t = (from_s + after).min(end_s);
            self.evaluate(c, t, e);
            self.evaluations += 1;
            for (gate, (low, high)) in self.gates[c].iter().zip(&mut ranges) {
                let value = self.unrounded_watch(gate.watched, e, t);
                *low = low.min(value);
                *high = high.max(value);
            }
            if t == end_s {
                break;
            }
            after = (2 * after).max(1);
        }
        self.gates[c]
            .iter()
            .zip(&ranges)
            .any(|(gate, (low, high))| {
                let slack = 0.5 * (high - low) + 0.51 * self.resolution(gate.watched);
                high + slack >= gate.above || low - slack <= gate.below
            })
    }

    fn unrounded_watch(&self, watched: Watched, e: &Evaluated, t_s: i64) -> f64 {
        match watched {
            Watched::Shown(k) => self.unrounded_in(k.index(), e, t_s),
            Watched::True(..) => self.watch(watched, e, t_s),
        }
    }

    fn resolution(&self, watched: Watched) -> f64 {
        match watched {
            Watched::Shown(k) => self.steel.instruments[k.index()].resolution.max(1e-9),
            Watched::True(..) => 1e-9,
        }
    }
}
