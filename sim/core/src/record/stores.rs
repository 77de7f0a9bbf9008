//! Absorbent and what went through the locks: canisters changed by compartment, with the hours they had run and the
//! carbon dioxide in them, and runs by where and what for.

use super::{Entry, Routine, Sink, What};
use crate::units::CompartmentId;
use std::collections::BTreeMap;

/// Canisters changed in one compartment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Canisters {
    /// How many were taken out.
    pub changed: u64,
    /// Hours that the fan had blown through them.
    pub hours: f64,
    /// Carbon dioxide in them, mol.
    pub co2_mol: f64,
}

/// The sink that counts stores.
#[derive(Clone, Debug, Default)]
pub struct StoreBook {
    canisters: BTreeMap<CompartmentId, Canisters>,
    runs: BTreeMap<(CompartmentId, Routine), u64>,
}

impl StoreBook {
    /// Canisters changed in a compartment.
    pub fn canisters(&self, compartment: CompartmentId) -> Canisters {
        self.canisters
            .get(&compartment)
            .copied()
            .unwrap_or_default()
    }

    /// Meals, laundry and stores by the compartment they were written down for, in order.
    pub fn runs(&self) -> impl Iterator<Item = (CompartmentId, Routine, u64)> {
        self.runs.iter().map(|(&(at, what), &n)| (at, what, n))
    }
}

impl Sink for StoreBook {
    fn take(&mut self, entry: Entry) {
        match entry.what {
            What::Canister {
                compartment,
                hours,
                moles,
            } => {
                let sum = self.canisters.entry(compartment).or_default();
                sum.changed += 1;
                sum.hours += hours;
                sum.co2_mol += moles;
            }
            What::Routine {
                compartment,
                routine: routine @ (Routine::Meal | Routine::Laundry | Routine::Stores),
                ..
            } => *self.runs.entry((compartment, routine)).or_default() += 1,
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn canisters_and_runs_are_counted_where_they_were() {
        let (living, lock) = (CompartmentId(0), CompartmentId(5));
        let canister = |hours, moles| What::Canister {
            compartment: living,
            hours,
            moles,
        };
        let run = |routine| What::Routine {
            compartment: lock,
            routine,
            diver: None,
        };
        let mut book = StoreBook::default();
        for (at, what) in (0..).zip([
            canister(6.0, 20.0),
            run(Routine::Meal),
            canister(7.5, 25.0),
            run(Routine::Meal),
            run(Routine::Stores),
            run(Routine::Toilet),
        ]) {
            book.take(Entry { at, what });
        }
        let all = book.canisters(living);
        assert_eq!((all.changed, all.hours, all.co2_mol), (2, 13.5, 45.0));
        assert_eq!(book.canisters(lock), Canisters::default());
        let runs: Vec<_> = book.runs().collect();
        let wanted = vec![(lock, Routine::Meal, 2), (lock, Routine::Stores, 1)];
        assert_eq!(runs, wanted);
    }
}
