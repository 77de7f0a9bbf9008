//! The rows that answers of a set may name, numbered, so that a record can keep a number for a row.

use super::{Provenance, RuleSet};
use deepstay_core::units::RuleRowId;
use std::collections::{BTreeMap, BTreeSet};

/// Number of each row by its id.
#[derive(Clone, Debug, Default)]
pub struct RowNumbers {
    by_id: BTreeMap<String, RuleRowId>,
}

impl RowNumbers {
    /// The number of a row; none where no row of the set has that id.
    pub fn of(&self, id: &str) -> Option<RuleRowId> {
        self.by_id.get(id).copied()
    }
}

impl RuleSet {
    /// Every row that an answer of this set may name; a row's number counts along this list.
    pub fn row_list(&self) -> Vec<Provenance> {
        let mut list = self.provenance();
        let own: BTreeSet<String> = list.iter().map(|row| row.id.clone()).collect();
        // Where it has no limits of depth, of the bell, of what is breathed or of rates those of the house answer.
        let house = super::limits::house().provenance();
        list.extend(house.into_iter().filter(|row| !own.contains(&row.id)));
        list
    }

    /// The numbers of the rows by their ids. Of rows under one id the first has it.
    pub fn row_numbers(&self) -> RowNumbers {
        let mut by_id = BTreeMap::new();
        for (number, row) in (0u16..).zip(self.row_list()) {
            by_id.entry(row.id).or_insert(RuleRowId(number));
        }
        RowNumbers { by_id }
    }
}
