//! Accounts: what each slot of each compartment and each edge has moved since the start, and how much of it
//! has been given to the record. Totals only grow; giving changes nothing but what has been given.

use super::slot::SLOTS;
use deepstay_core::gas::{Amounts, SPECIES};
use serde::{Deserialize, Serialize};

/// Running total of a slot or an edge, and how much of it has been given to the record.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
struct Account {
    /// Moved since the start, mol.
    total: [f64; SPECIES],
    /// Given to the record so far, mol.
    given: [f64; SPECIES],
}

impl Account {
    /// What has moved and has not been given, with what an open interval has moved on top; given now.
    fn give(&mut self, open: Option<[f64; SPECIES]>) -> Option<Amounts> {
        let mut total = self.total;
        if let Some(moved) = open {
            add(&mut total, &moved);
        }
        let mut moles = [0.0; SPECIES];
        for ((m, t), g) in moles.iter_mut().zip(&total).zip(&self.given) {
            *m = t - g;
        }
        if moles == [0.0; SPECIES] {
            return None;
        }
        self.given = total;
        Some(Amounts(moles))
    }
}

/// The accounts of a spread.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Accounts {
    slots: Vec<[Account; SLOTS]>,
    edges: Vec<Account>,
}

impl Accounts {
    /// Nothing has moved.
    pub fn new(compartments: usize, edges: usize) -> Accounts {
        Accounts {
            slots: vec![[Account::default(); SLOTS]; compartments],
            edges: vec![Account::default(); edges],
        }
    }

    /// Adds what a slot has moved.
    pub fn add_slot(&mut self, i: usize, s: usize, moved: &[f64; SPECIES]) {
        add(&mut self.slots[i][s].total, moved);
    }

    /// Adds what has passed along an edge.
    pub fn add_edge(&mut self, x: usize, moved: &[f64; SPECIES]) {
        add(&mut self.edges[x].total, moved);
    }

    /// What a slot has moved since it was last given, with what an open interval has moved by now; none if nothing.
    pub fn give_slot(
        &mut self,
        i: usize,
        s: usize,
        open: Option<[f64; SPECIES]>,
    ) -> Option<Amounts> {
        self.slots[i][s].give(open)
    }

    /// The same of an edge.
    pub fn give_edge(&mut self, x: usize, open: Option<[f64; SPECIES]>) -> Option<Amounts> {
        self.edges[x].give(open)
    }
}

/// Adds moles.
#[inline]
pub(crate) fn add(total: &mut [f64; SPECIES], moved: &[f64; SPECIES]) {
    for (t, m) in total.iter_mut().zip(moved) {
        *t += m;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::books::slot::Slot;

    const LEAK: usize = Slot::Leak as usize;

    fn mol(he: f64, o2: f64) -> [f64; SPECIES] {
        [he, o2, 0.0, 0.0, 0.0, 0.0]
    }

    #[test]
    fn what_is_given_adds_up_to_what_moved_however_often_it_is_asked_for() {
        // By hand: 3 + 5 mol of helium and 0.25 of oxygen booked, and an open interval that has moved 1, then 2.5 mol.
        let mut books = Accounts::new(2, 1);
        books.add_slot(1, LEAK, &mol(3.0, 0.25));
        assert_eq!(
            books.give_slot(1, LEAK, None),
            Some(Amounts(mol(3.0, 0.25)))
        );
        assert_eq!(books.give_slot(1, LEAK, None), None);
        books.add_slot(1, LEAK, &mol(5.0, 0.0));
        let open = |he: f64| Some(mol(he, 0.0));
        assert_eq!(
            books.give_slot(1, LEAK, open(1.0)),
            Some(Amounts(mol(6.0, 0.0)))
        );
        assert_eq!(
            books.give_slot(1, LEAK, open(2.5)),
            Some(Amounts(mol(1.5, 0.0)))
        );
        // The interval ends at 4 mol and is booked: 3 + 5 + 4 less what was given.
        books.add_slot(1, LEAK, &mol(4.0, 0.0));
        assert_eq!(books.give_slot(1, LEAK, None), Some(Amounts(mol(1.5, 0.0))));
        assert_eq!(books.give_slot(0, LEAK, None), None);
    }

    #[test]
    fn an_edge_gives_net_and_back_where_it_turned() {
        let mut books = Accounts::new(2, 1);
        books.add_edge(0, &mol(2.0, 1.0));
        assert_eq!(books.give_edge(0, None), Some(Amounts(mol(2.0, 1.0))));
        books.add_edge(0, &mol(-2.0, -1.0));
        assert_eq!(books.give_edge(0, None), Some(Amounts(mol(-2.0, -1.0))));
        assert_eq!(books.give_edge(0, None), None);
    }
}
