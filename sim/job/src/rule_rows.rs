//! Rows of the rule set that have answered in a job, each told to the sink when it first does.

use deepstay_core::record::{Entry, Sink, What};
use deepstay_core::units::RuleRowId;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// The rows told of so far.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(super) struct RuleRows {
    told: BTreeSet<RuleRowId>,
}

impl RuleRows {
    /// A row has answered.
    pub fn answered(&mut self, row: RuleRowId, at: i64, sink: &mut impl Sink) {
        if self.told.insert(row) {
            let timetable_of = None;
            let what = What::RuleRow { row, timetable_of };
            sink.take(Entry { at, what });
        }
    }

    /// A row that is told of in any case, with the timetable it belongs to.
    pub fn hear(&mut self, what: &What) {
        if let What::RuleRow { row, .. } = *what {
            self.told.insert(row);
        }
    }
}
