//! Writing a report: into a folder at the side, which then takes its place under the name asked for,
//! so that nothing half-written ever looks whole.

use crate::job::inputs::Inputs;
use crate::job::summary::Summary;
use crate::job::{gas_status, log, page, tables};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// The files of a report, in order.
pub const FILES: [&str; 8] = [
    "job.json",
    "log.csv",
    "ledger.csv",
    "bell-runs.csv",
    "divers.csv",
    "alarms.csv",
    "gas-status.csv",
    "report.html",
];

/// What kept a report from being written.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// The folder is there already and may not be replaced.
    #[error("{path} is there already; say --replace to write over it")]
    Exists {
        /// The folder.
        path: PathBuf,
    },
    /// The folder to be replaced holds something that is no part of a report.
    #[error("{path} holds {stranger}, which is no part of a report; it is left as it is")]
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

/// Writes the whole report into `dir`. An existing folder is refused unless `replace`; even then only
/// a folder that holds nothing but a report is replaced. Gives the paths written, in order.
///
/// # Errors
/// [`ReportError`] names the path and the cause; what was begun at the side is taken away again.
pub fn write_all(
    dir: &Path,
    inputs: &Inputs<'_>,
    replace: bool,
) -> Result<Vec<PathBuf>, ReportError> {
    check_free(dir, is_of_a_report, replace)?;
    let files = lay_out(inputs)?;
    let files: Vec<(String, Vec<u8>)> = FILES.iter().map(|n| (*n).to_owned()).zip(files).collect();
    write_set(dir, &files, is_of_a_report, replace)
}

fn is_of_a_report(name: &str) -> bool {
    FILES.contains(&name)
}

/// Writes files by their names into `dir`, as [`write_all`] does; `ours` tells which names may be replaced.
pub(crate) fn write_set(
    dir: &Path,
    files: &[(String, Vec<u8>)],
    ours: fn(&str) -> bool,
    replace: bool,
) -> Result<Vec<PathBuf>, ReportError> {
    check_free(dir, ours, replace)?;
    let side = beside(dir, "part")?;
    let written = fill(&side, files).and_then(|()| take_place(&side, dir));
    if let Err(error) = written {
        let _ = fs::remove_dir_all(&side);
        return Err(error);
    }
    Ok(files.iter().map(|(name, _)| dir.join(name)).collect())
}

/// Whether a report may be written to `dir`: to be asked before a long run, not after it.
///
/// # Errors
/// As for [`write_all`].
pub fn check_target(dir: &Path, replace: bool) -> Result<(), ReportError> {
    check_set_target(dir, is_of_a_report, replace)
}

/// The same for files of other names.
pub(crate) fn check_set_target(
    dir: &Path,
    ours: fn(&str) -> bool,
    replace: bool,
) -> Result<(), ReportError> {
    check_free(dir, ours, replace)?;
    // Folders on the way are made with the report; here it is enough that one may be made where they begin.
    let ground = dir
        .ancestors()
        .skip(1)
        .find(|a| a.as_os_str().is_empty() || a.exists());
    let trial = ground
        .unwrap_or(Path::new(""))
        .join(side_name(dir, "trial")?);
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
    if !replace {
        return Err(ReportError::Exists { path: dir.into() });
    }
    let not_ours = |stranger: String| {
        Err(ReportError::NotAReport {
            path: dir.into(),
            stranger,
        })
    };
    if !found.is_dir() {
        return not_ours("a file or link".into());
    }
    let mut names: Vec<String> = Vec::new();
    for entry in fs::read_dir(dir).map_err(|e| failed("cannot list", dir, e))? {
        let entry = entry.map_err(|e| failed("cannot list", dir, e))?;
        names.push(entry.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    match names.into_iter().find(|n| !ours(n)) {
        Some(stranger) => not_ours(stranger),
        None => Ok(()),
    }
}

fn lay_out(inputs: &Inputs<'_>) -> Result<Vec<Vec<u8>>, ReportError> {
    let csv = |file: &'static str, table: Result<Vec<u8>, csv::Error>| {
        table.map_err(|e| ReportError::Layout {
            file,
            cause: e.to_string(),
        })
    };
    let summary = Summary::of(inputs);
    let json = summary.json().map_err(|e| ReportError::Layout {
        file: "job.json",
        cause: e.to_string(),
    })?;
    Ok(vec![
        json.into_bytes(),
        csv("log.csv", log::log_csv(inputs))?,
        csv("ledger.csv", tables::ledger_csv(inputs))?,
        csv("bell-runs.csv", tables::bell_csv(inputs))?,
        csv("divers.csv", tables::divers_csv(inputs))?,
        csv("alarms.csv", tables::alarms_csv(inputs))?,
        csv("gas-status.csv", gas_status::gas_status_csv(inputs))?,
        page::html(inputs, &summary).into_bytes(),
    ])
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
    let old = beside(dir, "old")?;
    fs::rename(dir, &old).map_err(|e| failed("cannot move aside", dir, e))?;
    if let Err(cause) = fs::rename(side, dir) {
        let _ = fs::rename(&old, dir);
        return Err(failed("cannot put in place", dir, cause));
    }
    fs::remove_dir_all(&old).map_err(|e| failed("cannot take away", &old, e))
}

/// A hidden sibling of the folder, for this process alone.
fn beside(dir: &Path, what: &str) -> Result<PathBuf, ReportError> {
    Ok(dir.with_file_name(side_name(dir, what)?))
}

fn side_name(dir: &Path, what: &str) -> Result<String, ReportError> {
    let no_name = || {
        io::Error::new(
            io::ErrorKind::InvalidInput,
            "the folder needs a name of its own",
        )
    };
    let name = dir
        .file_name()
        .ok_or_else(|| failed("cannot write to", dir, no_name()))?;
    Ok(format!(
        ".{}.{what}-{}",
        name.to_string_lossy(),
        std::process::id()
    ))
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
    use crate::job::sample::Sample;

    #[test]
    fn a_report_is_written_whole_and_not_over_another() {
        let home = tempfile::tempdir().expect("a folder");
        let dir = home.path().join("out");
        let sample = Sample::days(3);
        let paths = write_all(&dir, &sample.inputs(), false).expect("written");
        assert_eq!(paths.len(), FILES.len());
        assert!(paths.iter().all(|p| p.is_file()));
        let again = write_all(&dir, &sample.inputs(), false);
        assert!(matches!(again, Err(ReportError::Exists { .. })));
        write_all(&dir, &sample.inputs(), true).expect("replaced");
        assert_eq!(
            fs::read_dir(home.path()).expect("list").count(),
            1,
            "nothing is left at the side"
        );
    }

    #[test]
    fn a_folder_with_something_else_in_it_is_never_replaced() {
        let home = tempfile::tempdir().expect("a folder");
        fs::write(home.path().join("thesis.txt"), "do not lose").expect("written");
        let refused = write_all(home.path(), &Sample::days(1).inputs(), true);
        assert!(
            matches!(refused, Err(ReportError::NotAReport { stranger, .. }) if stranger == "thesis.txt")
        );
    }

    #[test]
    fn a_folder_that_cannot_be_made_is_named_with_the_cause() {
        let home = tempfile::tempdir().expect("a folder");
        let file = home.path().join("file");
        fs::write(&file, "x").expect("written");
        let error =
            write_all(&file.join("out"), &Sample::days(1).inputs(), false).expect_err("refused");
        let text = error.to_string();
        assert!(
            text.contains("file") && text.contains("out") && text.contains("directory"),
            "{text}"
        );
    }

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

    #[test]
    fn the_same_entries_give_the_same_bytes() {
        let (a, b) = (Sample::days(3), Sample::days(3));
        assert_eq!(
            lay_out(&a.inputs()).expect("laid out"),
            lay_out(&b.inputs()).expect("laid out")
        );
    }
}
