//! Rule sets as data, each figure with its document, edition, table and status, and the questions
//! asked of them.

mod model;

pub use model::*;
