//! What a watch has been told since the job began: panel, log and speaker. Nothing true is kept here.

use deepstay_core::record::{Entry, Sink, What};
use deepstay_core::units::{Channel, CompartmentId, Quantity, Truth};
use serde::{Deserialize, Serialize};

/// The entries that somebody on the watch may know of, in their order.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Feed {
    entries: Vec<Entry>,
    depths: Vec<(CompartmentId, i64, f64)>,
}

impl Sink for Feed {
    fn take(&mut self, entry: Entry) {
        if let What::Logged {
            compartment,
            quantity: Quantity::Depth,
            channel: Channel::Primary,
            truth: Truth::Shown,
            value,
        } = entry.what
        {
            self.depths.push((compartment, entry.at, value));
        }
        // Readings at the log's cadence are on the sheet; a valve that trims is on its handle.
        let on_the_sheet = matches!(
            entry.what,
            What::Logged { .. } | What::ScrubberLogged { .. } | What::Target { .. } | What::LogRow
        );
        if entry.is_known_to_the_watch() && !on_the_sheet {
            self.entries.push(entry);
        }
    }
}

impl Feed {
    /// All, the oldest first.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether nothing has been told yet.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// What first depth gauges showed at the log's cadence: of which vessel, when, and how many msw.
    pub fn depths(&self) -> &[(CompartmentId, i64, f64)] {
        &self.depths
    }

    /// Forgets what came after a number of entries, and readings from a second on.
    pub(crate) fn go_back(&mut self, len: usize, at_s: i64) {
        self.entries.truncate(len);
        let before = self.depths.partition_point(|(_, at, _)| *at <= at_s);
        self.depths.truncate(before);
    }

    /// Takes what was told after it.
    pub(crate) fn append(&mut self, mut since: Feed) {
        self.entries.append(&mut since.entries);
        self.depths.append(&mut since.depths);
    }
}
