//! Who came to harm: each person's changes of state, the worst of them and what it came from.
//!
//! Display and training only. The states come from the crew's model of an average person with a wide spread;
//! they allow nothing and treat nobody.

use super::{Entry, Fitness, HarmCause, Sink, What};
use crate::units::DiverId;
use std::collections::BTreeMap;

/// Most changes kept of one person; those beyond are counted only.
const MOST_CHANGES: usize = 1000;
/// From this state on a person counts as hurt (house rule): slow is a warning, confused no longer helps himself.
const HURT_FROM: Fitness = Fitness::Confused;

/// One change of a person's state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FitnessChange {
    /// When, s.
    pub at_s: i64,
    /// What he was then.
    pub to: Fitness,
    /// What it came from.
    pub cause: HarmCause,
}

/// A person who was not well all the time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unwell {
    /// Who.
    pub diver: DiverId,
    /// The worst state he was in, when it first came and from what.
    pub worst: FitnessChange,
    /// The state he was last in.
    pub now: Fitness,
    /// His changes in order.
    pub changes: Vec<FitnessChange>,
    /// How many changes there were, those not kept included.
    pub count: u64,
}

impl Unwell {
    /// Whether he came to harm: confused, out or dead at his worst.
    pub fn hurt(&self) -> bool {
        self.worst.to >= HURT_FROM
    }
}

/// The sink that keeps who came to harm.
#[derive(Clone, Debug, Default)]
pub struct HarmBook {
    people: BTreeMap<DiverId, Unwell>,
}

impl HarmBook {
    /// Everybody who was not well all the time.
    pub fn unwell(&self) -> impl Iterator<Item = &Unwell> {
        self.people.values()
    }

    /// A person, if he was not well all the time.
    pub fn of(&self, diver: DiverId) -> Option<&Unwell> {
        self.people.get(&diver)
    }

    /// Everybody who came to harm.
    pub fn hurt(&self) -> impl Iterator<Item = &Unwell> {
        self.unwell().filter(|one| one.hurt())
    }

    /// Changes that were counted and not kept.
    pub fn left_out(&self) -> u64 {
        let beyond = |one: &Unwell| one.count - one.changes.len() as u64;
        self.unwell().map(beyond).sum()
    }
}

impl Sink for HarmBook {
    fn take(&mut self, entry: Entry) {
        let What::Fitness {
            diver, to, cause, ..
        } = entry.what
        else {
            return;
        };
        let change = FitnessChange {
            at_s: entry.at,
            to,
            cause,
        };
        let one = self.people.entry(diver).or_insert_with(|| Unwell {
            diver,
            worst: change,
            now: to,
            changes: Vec::new(),
            count: 0,
        });
        one.now = to;
        one.count += 1;
        if to > one.worst.to {
            one.worst = change;
        }
        if one.changes.len() < MOST_CHANGES {
            one.changes.push(change);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(at: i64, from: Fitness, to: Fitness) -> Entry {
        let (diver, cause) = (DiverId(2), HarmCause::LowOxygen);
        Entry {
            at,
            what: What::Fitness {
                diver,
                from,
                to,
                cause,
            },
        }
    }

    #[test]
    fn the_worst_stays_and_slow_alone_is_no_harm() {
        let mut book = HarmBook::default();
        book.take(change(10, Fitness::Well, Fitness::Slow));
        assert_eq!((book.unwell().count(), book.hurt().count()), (1, 0));
        book.take(change(20, Fitness::Slow, Fitness::Out));
        book.take(change(90, Fitness::Out, Fitness::Well));
        let one = book.of(DiverId(2)).expect("unwell");
        assert_eq!((one.worst.at_s, one.worst.to), (20, Fitness::Out));
        assert_eq!((one.now, one.changes.len()), (Fitness::Well, 3));
        assert!(one.hurt() && book.left_out() == 0);
    }
}
