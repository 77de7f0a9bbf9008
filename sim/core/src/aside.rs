//! Files are written to the side and then given their name, so that none is ever half there.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Why a file was not written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AsideError {
    /// There is something of that name.
    #[error("{} is there already; --replace puts the new one in its place", .0.display())]
    There(PathBuf),
    /// It is a folder.
    #[error("{} is a folder", .0.display())]
    Folder(PathBuf),
    /// The system did not let it be written.
    #[error("{} could not be written: {why}", .path.display())]
    Unwritten {
        /// Which file.
        path: PathBuf,
        /// What the system says.
        why: io::Error,
    },
}

/// Writes a file beside its place and renames it there.
///
/// # Errors
/// The name is taken and `replace` is false, or the system refuses; nothing is left behind then.
pub fn write_aside(path: &Path, bytes: &[u8], replace: bool) -> Result<(), AsideError> {
    if path.is_dir() {
        return Err(AsideError::Folder(path.to_owned()));
    }
    if !replace && path.symlink_metadata().is_ok() {
        return Err(AsideError::There(path.to_owned()));
    }
    let name = path
        .file_name()
        .map_or_else(Default::default, |n| n.to_string_lossy().into_owned());
    let aside = path.with_file_name(format!(".{name}.{}.part", std::process::id()));
    let written = File::create(&aside)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| fs::rename(&aside, path));
    written.map_err(|why| {
        let _ = fs::remove_file(&aside);
        AsideError::Unwritten {
            path: path.to_owned(),
            why,
        }
    })
}

/// Whether a file of that name may be written: to be asked before hours of work.
///
/// # Errors
/// As for [`write_aside`].
pub fn check_aside(path: &Path, replace: bool) -> Result<(), AsideError> {
    if path.is_dir() {
        return Err(AsideError::Folder(path.to_owned()));
    }
    if path.exists() && !replace {
        return Err(AsideError::There(path.to_owned()));
    }
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let trial = folder.join(format!(".deepstay-trial-{}", std::process::id()));
    fs::write(&trial, b"")
        .and_then(|()| fs::remove_file(&trial))
        .map_err(|why| AsideError::Unwritten {
            path: path.to_owned(),
            why,
        })
}
