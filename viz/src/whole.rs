//! Files that are written whole, or not at all.

use std::io;
use std::path::Path;

/// Writes a file whole, or leaves what was there.
///
/// # Errors
/// What the system says.
pub fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let part = path.with_extension(format!("{}.part", std::process::id()));
    let written = std::fs::write(&part, bytes).and_then(|()| std::fs::rename(&part, path));
    if written.is_err() {
        // There may be none, where the folder is not there.
        let _ = std::fs::remove_file(&part);
    }
    written
}
