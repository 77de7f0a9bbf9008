//! What a watch has been told since the job began: panel, log and speaker. Nothing true is kept here.

use deepstay_core::record::{Entry, Sink, What};
use serde::{Deserialize, Serialize};

/// The entries that somebody on the watch may know of, in their order.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Feed {
    entries: Vec<Entry>,
}

impl Sink for Feed {
    fn take(&mut self, entry: Entry) {
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

    /// Forgets what came after a number of them.
    pub fn truncate(&mut self, len: usize) {
        self.entries.truncate(len);
    }
}
