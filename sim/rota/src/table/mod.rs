//! A rota as a table (CSV): a line a seat, written and read by the same columns, so that whatever is
//! written can be judged again.

mod cells;
mod columns;
mod presume;
mod read;
#[cfg(test)]
mod tests;
mod write;

pub use columns::Column;
pub use read::{ReadRota, read};
pub use write::write;
