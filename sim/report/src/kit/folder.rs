//! Writing a set of files: into a folder at the side, which then takes its place under the name asked for,
//! so that nothing half-written ever looks whole.

use deepstay_core::aside::{self, OLD, PART, TRIAL, clear_after_the_dead};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// What kept a report from being written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ReportError {
    /// Outputs are there already and may not be replaced.
    #[error("{path} holds outputs already; say --replace to write over them")]
    Exists {
        /// The folder.
        path: PathBuf,
    },
    /// Something that is no folder has the name.
    #[error("{path} is no folder, and outputs go into one: name one that is new or empty")]
    NotAFolder {
        /// What has the name.
        path: PathBuf,
    },
    /// The folder to be replaced holds something that is no part of a report.
    #[error(
        "{path} holds {stranger}, which is no part of a report; it is left as it is: name a folder that is new or empty"
    )]
    NotAReport {
        /// The folder.
        path: PathBuf,
        /// The first thing in it that does not belong.
        stranger: String,
    },
    /// Something could not be made, written or moved.
    #[error("{action} {path}: {cause}")]
    Failed {
        /// What was attempted.
        action: &'static str,
        /// On what.
        path: PathBuf,
        /// What the system said.
        cause: io::Error,
    },
    /// A table or the summary could not be put into its format.
    #[error("cannot lay out {file}: {cause}")]
    Layout {
        /// Which file.
        file: &'static str,
        /// Why.
        cause: String,
    },
}

/// Writes files by their names into `dir`, which is new or empty; outputs that are there are replaced only if
/// `replace`, and what holds anything but what `ours` says never. Gives the paths written, in order.
pub fn write_files(
    dir: &Path,
    files: &[(String, Vec<u8>)],
    ours: fn(&str) -> bool,
    replace: bool,
) -> Result<Vec<PathBuf>, ReportError> {
    clear_after_the_dead(dir);
    check_free(dir, ours, replace)?;
    let side = beside(dir, PART)?;
    let written = fill(&side, files).and_then(|()| take_place(&side, dir));
    if let Err(error) = written {
        let _ = fs::remove_dir_all(&side);
        return Err(error);
    }
    Ok(files.iter().map(|(name, _)| dir.join(name)).collect())
}

/// Whether files may be written to `dir`: to be asked before a long run, not after it.
pub fn check_files_target(
    dir: &Path,
    ours: fn(&str) -> bool,
    replace: bool,
) -> Result<(), ReportError> {
    clear_after_the_dead(dir);
    check_free(dir, ours, replace)?;
    // Folders on the way are made with the report; here it is enough that one may be made where they begin.
    let ground = dir
        .ancestors()
        .skip(1)
        .find(|a| a.as_os_str().is_empty() || a.exists());
    let trial = beside(dir, TRIAL)?;
    let trial = ground
        .unwrap_or(Path::new(""))
        .join(trial.file_name().unwrap_or_default());
    fs::create_dir(&trial)
        .and_then(|()| fs::remove_dir(&trial))
        .map_err(|e| failed("cannot make the folder", &trial, e))
}

/// Refuses a name that is taken by anything but a report that may be replaced.
fn check_free(dir: &Path, ours: fn(&str) -> bool, replace: bool) -> Result<(), ReportError> {
    let found = match fs::symlink_metadata(dir) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(cause) => return Err(failed("cannot look at", dir, cause)),
        Ok(found) => found,
    };
    if !found.is_dir() {
        return Err(ReportError::NotAFolder { path: dir.into() });
    }
    let mut names: Vec<String> = Vec::new();
    for entry in fs::read_dir(dir).map_err(|e| failed("cannot list", dir, e))? {
        let entry = entry.map_err(|e| failed("cannot list", dir, e))?;
        names.push(entry.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    if names.is_empty() {
        return Ok(());
    }
    match names.into_iter().find(|n| !ours(n)) {
        Some(stranger) => Err(ReportError::NotAReport {
            path: dir.into(),
            stranger,
        }),
        None if replace => Ok(()),
        None => Err(ReportError::Exists { path: dir.into() }),
    }
}

fn fill(side: &Path, files: &[(String, Vec<u8>)]) -> Result<(), ReportError> {
    if side.exists() {
        fs::remove_dir_all(side).map_err(|e| failed("cannot clear", side, e))?;
    }
    fs::create_dir_all(side).map_err(|e| failed("cannot make the folder", side, e))?;
    for (name, bytes) in files {
        write_file(&side.join(name), bytes)?;
    }
    Ok(())
}

fn write_file(path: &Path, bytes: &[u8]) -> Result<(), ReportError> {
    let write = || {
        let mut file = fs::File::create(path)?;
        file.write_all(bytes)?;
        file.flush()
    };
    write().map_err(|e| failed("cannot write", path, e))
}

fn take_place(side: &Path, dir: &Path) -> Result<(), ReportError> {
    if !dir.exists() {
        return fs::rename(side, dir).map_err(|e| failed("cannot put in place", dir, e));
    }
    let old = beside(dir, OLD)?;
    fs::rename(dir, &old).map_err(|e| failed("cannot move aside", dir, e))?;
    if let Err(cause) = fs::rename(side, dir) {
        let _ = fs::rename(&old, dir);
        return Err(failed("cannot put in place", dir, cause));
    }
    fs::remove_dir_all(&old).map_err(|e| failed("cannot take away", &old, e))
}

/// A hidden sibling of the folder, for this process alone.
fn beside(dir: &Path, what: &str) -> Result<PathBuf, ReportError> {
    let no_name = || {
        let words = "the folder needs a name of its own";
        io::Error::new(io::ErrorKind::InvalidInput, words)
    };
    aside::beside(dir, what).ok_or_else(|| failed("cannot write to", dir, no_name()))
}

fn failed(action: &'static str, path: &Path, cause: io::Error) -> ReportError {
    ReportError::Failed {
        action,
        path: path.into(),
        cause,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[cfg(target_os = "linux")]
    fn a_full_disk_is_said() {
        let error = write_file(Path::new("/dev/full"), b"bytes").expect_err("full");
        assert!(
            error
                .to_string()
                .starts_with("cannot write /dev/full: No space left"),
            "{error}"
        );
    }
}
