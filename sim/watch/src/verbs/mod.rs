//! The verbs of a watch: one table behind keys, order line, completion and help. A line in the words of the trade
//! becomes acts; acts become a line again.

mod calls;
mod complete;
mod line;
mod parse;
mod table;

pub use calls::{asking, belongs};
pub use complete::{Completion, complete};
pub use line::in_words;
pub use parse::{Asked, BAND_BAR, CRACK, NotUnderstood, parse};
pub use table::{Part, TABLE, Verb, VerbInfo, info};
