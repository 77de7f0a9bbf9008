//! Which rows of the rule set a job went by: those that answered a question, and those of each timetable.

use super::{Entry, Sink, What};
use crate::units::{CompartmentId, RuleRowId};
use std::collections::BTreeMap;

/// The sink that follows the rule rows.
#[derive(Clone, Debug, Default)]
pub struct RuleRows {
    first_s: BTreeMap<RuleRowId, i64>,
    timetables: Vec<(i64, CompartmentId, RuleRowId)>,
}

impl RuleRows {
    /// Every row that answered, each with the second at which it first did, in the set's order.
    pub fn used(&self) -> impl Iterator<Item = (RuleRowId, i64)> + '_ {
        self.first_s.iter().map(|(row, at)| (*row, *at))
    }

    /// Rows of the timetable that a chamber took up at a second.
    pub fn timetable(&self, at_s: i64, at: CompartmentId) -> impl Iterator<Item = RuleRowId> + '_ {
        let taken = self.timetables.iter();
        taken
            .filter(move |(s, c, _)| (*s, *c) == (at_s, at))
            .map(|(.., row)| *row)
    }
}

impl Sink for RuleRows {
    fn take(&mut self, entry: Entry) {
        if let What::RuleRow { row, timetable_of } = entry.what {
            self.first_s.entry(row).or_insert(entry.at);
            if let Some(compartment) = timetable_of {
                self.timetables.push((entry.at, compartment, row));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_is_used_from_its_first_answer_on_and_a_timetable_is_that_of_its_chamber_and_second() {
        let mut rows = RuleRows::default();
        let (a, b, room) = (RuleRowId(4), RuleRowId(2), CompartmentId(1));
        for (at, row, timetable_of) in [
            (10, a, None),
            (50, a, Some(room)),
            (50, b, Some(room)),
            (90, a, Some(CompartmentId(2))),
        ] {
            let what = What::RuleRow { row, timetable_of };
            rows.take(Entry { at, what });
        }
        assert_eq!(rows.used().collect::<Vec<_>>(), [(b, 50), (a, 10)]);
        assert_eq!(rows.timetable(50, room).collect::<Vec<_>>(), [a, b]);
        assert_eq!(rows.timetable(90, room).count(), 0);
    }
}
