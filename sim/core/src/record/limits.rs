//! Times outside a limit, true and indicated kept apart.

use super::kept::Kept;
use super::{Aspect, Bound, Entry, LimitName, Sink, What};
use crate::units::Truth;
use std::collections::BTreeMap;

/// Most excursions kept one by one; those beyond add to their limit's minutes only.
const MOST: usize = 100_000;

/// Which limit, and whether by the truth or by what was indicated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LimitKey {
    /// Which limit.
    pub name: LimitName,
    /// The truth, or the instrument.
    pub truth: Truth,
}

/// One time outside a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outside {
    /// Which limit.
    pub key: LimitKey,
    /// The limit, in the unit of its quantity.
    pub limit: f64,
    /// From when, s.
    pub from_s: i64,
    /// Until when, s; none while it lasts.
    pub to_s: Option<i64>,
    /// The value furthest out that an entry told of, in the unit of the quantity.
    pub furthest: f64,
}

impl Outside {
    /// How long it lasted, s, up to the end of the run.
    pub fn lasted_s(&self, end_s: i64) -> i64 {
        self.to_s.unwrap_or(end_s) - self.from_s
    }
}

/// One limit over the whole run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitTotal {
    /// Which limit.
    pub key: LimitKey,
    /// The limit, in the unit of its quantity; the last one where it changed.
    pub limit: f64,
    /// How many times it was crossed.
    pub times: u64,
    /// Time outside, s.
    pub outside_s: i64,
    /// First time, s.
    pub first_s: i64,
    /// The value furthest out, in the unit of the quantity.
    pub furthest: f64,
}

/// The sink that follows limits.
#[derive(Clone, Debug, Default)]
pub struct Limits {
    ended: BTreeMap<LimitKey, LimitTotal>,
    open: BTreeMap<LimitKey, Outside>,
    list: Kept<Outside, MOST>,
}

impl Limits {
    /// Each limit that was crossed, those that only call for attention too, in order, with its time outside
    /// up to `end_s`.
    pub fn totals(&self, end_s: i64) -> Vec<LimitTotal> {
        let mut totals = self.ended.clone();
        for outside in self.open.values() {
            add(&mut totals, outside, end_s);
        }
        totals.into_values().collect()
    }

    /// Times outside that count in the totals and are not in the list, because there were too many.
    pub fn left_out(&self) -> u64 {
        self.list.beyond()
    }

    /// Each time outside, in order of its beginning.
    pub fn list(&self) -> Vec<Outside> {
        let mut all = self.list.to_vec();
        all.extend(self.open.values());
        all.sort_by_key(|o| (o.from_s, o.key));
        all
    }
}

fn add(totals: &mut BTreeMap<LimitKey, LimitTotal>, outside: &Outside, end_s: i64) {
    let total = totals.entry(outside.key).or_insert(LimitTotal {
        key: outside.key,
        limit: outside.limit,
        times: 0,
        outside_s: 0,
        first_s: outside.from_s,
        furthest: outside.furthest,
    });
    total.limit = outside.limit;
    total.times += 1;
    total.outside_s += outside.lasted_s(end_s);
    total.furthest = further(outside.key.name.bound, total.furthest, outside.furthest);
}

fn further(bound: Bound, a: f64, b: f64) -> f64 {
    match bound {
        Bound::High => a.max(b),
        Bound::Low => a.min(b),
    }
}

impl Sink for Limits {
    fn take(&mut self, entry: Entry) {
        match entry.what {
            What::Limit {
                name,
                limit,
                value,
                truth,
                outside,
            } => {
                let key = LimitKey { name, truth };
                let bound = name.bound;
                if let Some(open) = self.open.get_mut(&key) {
                    if outside {
                        open.furthest = further(bound, open.furthest, value);
                    } else {
                        let mut over = *open;
                        over.to_s = Some(entry.at);
                        self.open.remove(&key);
                        add(&mut self.ended, &over, entry.at);
                        self.list.keep(over);
                    }
                } else if outside {
                    let new = Outside {
                        key,
                        limit,
                        from_s: entry.at,
                        to_s: None,
                        furthest: value,
                    };
                    self.open.insert(key, new);
                }
            }
            What::LimitFurther { name, truth, value } => {
                if let Some(open) = self.open.get_mut(&LimitKey { name, truth }) {
                    open.furthest = further(name.bound, open.furthest, value);
                }
            }
            What::Logged {
                compartment,
                quantity,
                truth,
                value,
                ..
            } => {
                let same = |k: &LimitKey| {
                    k.name.aspect == Aspect::Inside
                        && (k.name.compartment, k.name.quantity, k.truth)
                            == (compartment, quantity, truth)
                };
                for (key, open) in self.open.iter_mut().filter(|(k, _)| same(k)) {
                    open.furthest = further(key.name.bound, open.furthest, value);
                }
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{LimitBy, Severity};
    use crate::units::{CompartmentId, Quantity};

    fn limit(at: i64, truth: Truth, value: f64, outside: bool) -> Entry {
        let name = LimitName {
            compartment: CompartmentId(0),
            quantity: Quantity::PpCo2,
            aspect: Aspect::Inside,
            bound: Bound::High,
            severity: Severity::Limit,
            by: LimitBy::Rating,
        };
        Entry {
            at,
            what: What::Limit {
                name,
                limit: 0.005,
                value,
                truth,
                outside,
            },
        }
    }

    #[test]
    fn true_and_shown_are_counted_apart() {
        let mut limits = Limits::default();
        for e in [
            limit(100, Truth::True, 0.005, true),
            limit(160, Truth::Shown, 0.005, true),
            limit(400, Truth::True, 0.0049, false),
            limit(700, Truth::True, 0.006, true),
        ] {
            limits.take(e);
        }
        let totals = limits.totals(1000);
        let by = |t: Truth| {
            totals
                .iter()
                .find(|l| l.key.truth == t)
                .map(|l| (l.times, l.outside_s, l.furthest))
        };
        assert_eq!(by(Truth::True), Some((2, 600, 0.006)));
        assert_eq!(by(Truth::Shown), Some((1, 840, 0.005)));
        assert_eq!(limits.list().len(), 3);
    }
}
