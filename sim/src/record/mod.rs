//! The one stream out: entries, and what is made of them (ledger, log, alarms).

mod entry;

pub use entry::*;
