//! A sink that keeps when each thing came first: alarms, limits truly crossed, people hurt, what was said or heard.

use super::seen::Sign;
use super::{Came, Hurt};
use deepstay_core::record::{
    AlarmState, Entry, Fitness, HarmCause, LimitName, Severity, Sink, Spoken, What,
};
use deepstay_core::units::{CompartmentId, DiverId, Truth};
use std::collections::BTreeMap;

/// Share of the time without a failure in which a thing must come with it to count as its doing (house figure).
const SOONER: f64 = 0.5;

/// When each thing came first, s of the job.
#[derive(Clone, Debug, Default)]
pub(super) struct First {
    rang: BTreeMap<LimitName, i64>,
    crossed: BTreeMap<LimitName, i64>,
    hurt: BTreeMap<DiverId, (i64, Fitness, HarmCause)>,
    said: BTreeMap<(DiverId, Spoken), i64>,
    lifted: BTreeMap<CompartmentId, i64>,
}

impl First {
    pub fn anybody_hurt(&self) -> bool {
        !self.hurt.is_empty()
    }

    /// Alarms that rang for the failure, in order of time: see [`beyond`].
    pub fn rings_beyond(&self, other: &First, from_s: i64) -> Vec<Came<LimitName>> {
        beyond(&self.rang, &other.rang, from_s)
    }

    /// Limits that were crossed for it.
    pub fn crossed_beyond(&self, other: &First, from_s: i64) -> Vec<Came<LimitName>> {
        beyond(&self.crossed, &other.crossed, from_s)
    }

    /// The first who came to harm for it.
    pub fn hurt_beyond(&self, other: &First, from_s: i64) -> Option<Came<Hurt>> {
        let at = |first: &First| -> BTreeMap<DiverId, i64> {
            first.hurt.iter().map(|(d, h)| (*d, h.0)).collect()
        };
        let came = beyond(&at(self), &at(other), from_s).into_iter().next()?;
        let (_, to, cause) = self.hurt[&came.what];
        Some(Came {
            what: Hurt {
                diver: came.what,
                to,
                cause,
            },
            after_s: came.after_s,
            without_s: came.without_s,
        })
    }

    /// What was said, or heard of a relief valve, for it.
    pub fn heard_beyond(&self, other: &First, from_s: i64) -> Option<Came<Sign>> {
        let said = beyond(&self.said, &other.said, from_s).into_iter().next();
        let said = said.map(|came| came.with(|(diver, report)| Sign::Voice { diver, report }));
        let lifted = beyond(&self.lifted, &other.lifted, from_s)
            .into_iter()
            .next();
        let lifted = lifted.map(|came| came.with(Sign::Relief));
        super::sooner(said, lifted)
    }
}

impl<T> Came<T> {
    fn with<U>(self, make: impl FnOnce(T) -> U) -> Came<U> {
        Came {
            what: make(self.what),
            after_s: self.after_s,
            without_s: self.without_s,
        }
    }
}

/// What comes for a failure, in order of time: what does not come without it, or comes with it in [`SOONER`] of the
/// time or less. What is only shifted a little is none of its doing.
fn beyond<K: Ord + Copy>(
    mine: &BTreeMap<K, i64>,
    other: &BTreeMap<K, i64>,
    from_s: i64,
) -> Vec<Came<K>> {
    let came = |(what, at): (&K, &i64)| {
        let without = other.get(what).copied();
        let own = without.is_none_or(|t| (at - from_s) as f64 <= SOONER * (t - from_s) as f64);
        own.then(|| Came {
            what: *what,
            after_s: at - from_s,
            without_s: without.map(|t| t - from_s),
        })
    };
    let mut all: Vec<Came<K>> = mine.iter().filter_map(came).collect();
    all.sort_by_key(|c| c.after_s);
    all
}

impl Sink for First {
    fn take(&mut self, entry: Entry) {
        let at = entry.at;
        match entry.what {
            What::Alarm {
                name,
                state: AlarmState::Unacknowledged,
                ..
            } => {
                self.rang.entry(name).or_insert(at);
            }
            What::Limit {
                name,
                truth: Truth::True,
                outside: true,
                ..
            } if name.severity >= Severity::Limit => {
                self.crossed.entry(name).or_insert(at);
            }
            What::Fitness {
                diver, to, cause, ..
            } if to >= Fitness::Confused => {
                self.hurt.entry(diver).or_insert((at, to, cause));
            }
            What::Said { diver, report } => {
                self.said.entry((diver, report)).or_insert(at);
            }
            What::Relief {
                compartment,
                lifted: true,
            } => {
                self.lifted.entry(compartment).or_insert(at);
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From second 100: what is not there without the failure counts, what comes in half the time too, and what is
    /// only a little sooner does not.
    #[test]
    fn what_is_only_shifted_is_no_doing_of_the_failure() {
        let mine = BTreeMap::from([('a', 160), ('b', 150), ('c', 190), ('d', 120)]);
        let other = BTreeMap::from([('b', 200), ('c', 200), ('d', 120)]);
        let came = beyond(&mine, &other, 100);
        let told: Vec<_> = came
            .iter()
            .map(|c| (c.what, c.after_s, c.without_s))
            .collect();
        assert_eq!(told, [('b', 50, Some(100)), ('a', 60, None)]);
    }
}
