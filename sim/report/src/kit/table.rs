//! Tables as CSV, laid out in memory.

/// A table that is being written.
pub type Table = csv::Writer<Vec<u8>>;

/// Begins one.
pub fn table() -> Table {
    csv::Writer::from_writer(Vec::new())
}

/// Adds a row.
pub fn row<I: IntoIterator<Item = T>, T: AsRef<[u8]>>(
    table: &mut Table,
    cells: I,
) -> Result<(), csv::Error> {
    table.write_record(cells)
}

/// The table as bytes.
pub fn bytes(table: Table) -> Result<Vec<u8>, csv::Error> {
    table
        .into_inner()
        .map_err(|e| csv::Error::from(e.into_error()))
}
