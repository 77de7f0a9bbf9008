//! Opens the check values that `tests/reference/data` holds; every room's own tests include this file.

use std::path::{Path, PathBuf};

/// The folder `tests` at the top of the house, where `reference/` lies.
///
/// # Panics
/// When it is not there: the check values belong to the project.
pub fn here() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .map(|folder| folder.join("tests"))
        .find(|tests| tests.join("reference/data").is_dir())
        .expect("the house holds tests/reference/data")
}

/// Opens a CSV of `reference/data`, skipping the `#` lines of its header.
///
/// # Panics
/// When the file is missing.
pub fn check_values(name: &str) -> csv::Reader<std::fs::File> {
    let path = here().join("reference/data").join(name);
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(&path)
        .unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}
