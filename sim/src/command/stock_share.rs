//! Sharing a study out: which jobs to run, keeping them in a file, and putting files together.

use super::aside::{AsideError, write_aside};
use super::stock::Jobs;
use crate::stock::{self, Batch, Failed, Head, Merged, Replicate};
use std::fs;
use std::ops::Range;
use std::path::{Path, PathBuf};

/// Most jobs of one study.
const MOST: u64 = 10_000_000;

/// A count of jobs, or a span of them.
pub fn jobs(text: &str) -> Result<Jobs, String> {
    let number = |s: &str| {
        s.trim()
            .parse::<u64>()
            .map_err(|_| format!("\"{s}\" is no whole number; write 200, or 0..50"))
    };
    let range = match text.split_once("..") {
        None => 0..number(text)?,
        Some((from, to)) => number(from)?..number(to)?,
    };
    if range.is_empty() {
        return Err(
            "at least one job is run: 200, or 0..50 with the first number below the second".into(),
        );
    }
    if range.end > MOST {
        return Err(format!("at most {MOST} jobs"));
    }
    Ok(Jobs(range))
}

/// Whether a file of that name may be written: to be asked before hours of jobs.
pub fn check(file: &Path, replace: bool) -> Result<(), AsideError> {
    if file.is_dir() {
        return Err(AsideError::Folder(file.to_owned()));
    }
    if file.exists() && !replace {
        return Err(AsideError::There(file.to_owned()));
    }
    let folder = file
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let trial = tempfile_in(folder);
    fs::write(&trial, b"")
        .and_then(|()| fs::remove_file(&trial))
        .map_err(|why| AsideError::Unwritten {
            path: file.to_owned(),
            why,
        })
}

fn tempfile_in(folder: &Path) -> PathBuf {
    folder.join(format!(".deepstay-trial-{}", std::process::id()))
}

/// Keeps jobs in a file.
pub fn save(
    file: &Path,
    head: &Head,
    asked: &Range<u64>,
    jobs: (&[Replicate], &[Failed]),
    replace: bool,
) -> Result<(), AsideError> {
    let batch = Batch {
        head: head.clone(),
        asked: (asked.start, asked.end),
        jobs: jobs.0.to_vec(),
        failed: jobs.1.to_vec(),
    };
    write_aside(file, &batch.bytes(), replace)
}

/// The jobs of several files, in order.
pub fn merge(files: &[PathBuf], head: &Head) -> Result<Merged, String> {
    let mut batches = Vec::new();
    for file in files {
        let name = file.display().to_string();
        let bytes = fs::read(file).map_err(|e| match e.kind() {
            std::io::ErrorKind::NotFound => format!("{name}: there is no such file"),
            _ => format!("{name} cannot be read: {e}"),
        })?;
        batches.push((
            name.clone(),
            Batch::read(&bytes, &name).map_err(|e| e.to_string())?,
        ));
    }
    stock::merge(head, batches).map_err(|e| e.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn jobs_are_a_count_or_a_span() {
        assert_eq!(jobs("200"), Ok(Jobs(0..200)));
        assert_eq!(jobs("50..100"), Ok(Jobs(50..100)));
        for bad in ["0", "", "9..3", "5..5", "a..b", "-1", "1..", "99999999999"] {
            assert!(jobs(bad).is_err(), "{bad}");
        }
    }
}
