//! What to load: the section of a page, the table and the workbook.

pub mod csv;
pub mod inputs;
pub mod section;
#[cfg(test)]
mod tests;
pub mod workbook;
