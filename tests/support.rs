//! What several tests share: reading a check-value file with its commented header.

use std::path::PathBuf;

/// The folder of this package, where `reference/` lies.
pub fn here() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Opens a CSV of `reference/data`, skipping the `#` lines of its header.
///
/// # Panics
/// When the file is missing: the check values belong to the project.
pub fn check_values(name: &str) -> csv::Reader<std::fs::File> {
    let path = here().join("reference/data").join(name);
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(&path)
        .unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}
