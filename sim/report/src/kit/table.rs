//! Tables as CSV, laid out in memory. Every cell goes through [`row`], which marks as text what a spreadsheet
//! would calculate.

use deepstay_core::plain::cell;

/// A table that is being written.
pub type Table = csv::Writer<Vec<u8>>;

/// Begins one.
pub fn table() -> Table {
    csv::Writer::from_writer(Vec::new())
}

/// Adds a row.
pub fn row<I: IntoIterator<Item = T>, T: AsRef<str>>(
    table: &mut Table,
    cells: I,
) -> Result<(), csv::Error> {
    for text in cells {
        table.write_field(&*cell(text.as_ref()))?;
    }
    table.write_record(None::<&[u8]>)
}

/// The table as bytes.
pub fn bytes(table: Table) -> Result<Vec<u8>, csv::Error> {
    table
        .into_inner()
        .map_err(|e| csv::Error::from(e.into_error()))
}
