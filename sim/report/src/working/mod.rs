//! Working time, rest, days under pressure and routine as a judge of rules answers of them, for a screen, a page and a
//! summary.

mod section;
mod summary;

pub(crate) use section::{answers, section};
pub use summary::{WorkBreach, WorkFigures, WorkLine, WorkingTimeSummary};
pub(crate) use summary::{answer_lines, breach_lines, rows_beside};
