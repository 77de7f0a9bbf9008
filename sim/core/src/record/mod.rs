//! The one stream out: entries, and what is made of them (ledger, log, alarms, bell log, hours).

mod account;
mod alarms;
mod bands;
mod bell;
mod closure;
mod divers;
mod entry;
mod harm;
mod ledger;
mod limits;
mod log;
mod log_row;
mod panel;
mod pressure;
mod recorder;
mod rule_rows;
mod sum;
mod timeline;

pub use account::*;
pub use alarms::*;
pub use bands::*;
pub use bell::*;
pub use closure::*;
pub use divers::*;
pub use entry::*;
pub use harm::*;
pub use ledger::*;
pub use limits::*;
pub use log::*;
pub use log_row::*;
pub use panel::*;
pub use pressure::*;
pub use recorder::*;
pub use rule_rows::*;
pub use timeline::*;
