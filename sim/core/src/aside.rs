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

/// A hidden name beside a file or folder, for this process alone, that says what is there meanwhile; none for
/// what has no name.
pub fn beside(path: &Path, what: &str) -> Option<PathBuf> {
    let name = path.file_name()?.to_string_lossy();
    Some(path.with_file_name(format!(".{name}.{what}-{}", std::process::id())))
}

/// Takes away what a writer that is no longer alive left beside a file or folder; what it had moved aside and
/// not yet replaced is put back. Where nobody can tell who is alive, all is left as it is.
pub fn clear_after_the_dead(path: &Path) {
    let Some(name) = path.file_name().map(|n| n.to_string_lossy().into_owned()) else {
        return;
    };
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let found = entry.file_name().to_string_lossy().into_owned();
        let rest = found
            .strip_prefix('.')
            .and_then(|f| f.strip_prefix(&name))
            .and_then(|f| f.strip_prefix('.'));
        let Some((what, writer)) = rest.and_then(|r| r.split_once('-')) else {
            continue;
        };
        if !is_dead(writer) {
            continue;
        }
        let left = entry.path();
        // Whatever the system refuses here it would refuse to the writing that follows, which tells it.
        let _ = match (what, path.symlink_metadata().is_ok()) {
            (OLD, false) => fs::rename(&left, path),
            (OLD | PART | TRIAL, _) if left.is_dir() => fs::remove_dir_all(&left),
            (OLD | PART | TRIAL, _) => fs::remove_file(&left),
            _ => Ok(()),
        };
    }
}

/// What is being written.
pub const PART: &str = "part";
/// What was there before and is moved aside until the new one is in its place.
pub const OLD: &str = "old";
/// A trial whether anything may be written.
pub const TRIAL: &str = "trial";

/// Whether a process of this machine is gone: known only where the system lists them.
fn is_dead(process: &str) -> bool {
    let processes = Path::new("/proc");
    process.parse::<u32>().is_ok()
        && processes.join("self").exists()
        && !processes.join(process).exists()
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
    clear_after_the_dead(path);
    let Some(aside) = beside(path, PART) else {
        return Err(AsideError::Folder(path.to_owned()));
    };
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
    let Some(trial) = beside(path, TRIAL) else {
        return Err(AsideError::Folder(path.to_owned()));
    };
    fs::write(&trial, b"")
        .and_then(|()| fs::remove_file(&trial))
        .map_err(|why| AsideError::Unwritten {
            path: path.to_owned(),
            why,
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The number of a process that has ended.
    fn a_dead_process() -> u32 {
        let mut child = std::process::Command::new("true").spawn().expect("starts");
        let id = child.id();
        child.wait().expect("ends");
        id
    }

    #[test]
    #[cfg(target_os = "linux")]
    fn what_a_dead_writer_left_is_cleared_and_a_live_ones_stays() {
        let home = std::env::temp_dir().join(format!("deepstay-aside-{}", std::process::id()));
        fs::create_dir_all(&home).expect("made");
        let (file, dead) = (home.join("batch"), a_dead_process());
        let left = |what: &str, id: u32| home.join(format!(".batch.{what}-{id}"));
        for (what, id) in [(PART, dead), (TRIAL, dead), (PART, 1), ("note", dead)] {
            fs::write(left(what, id), b"half").expect("written");
        }
        fs::write(left(OLD, dead), b"the old one").expect("written");
        clear_after_the_dead(&file);
        assert_eq!(fs::read(&file).expect("put back"), b"the old one");
        assert!(!left(PART, dead).exists() && !left(TRIAL, dead).exists());
        assert!(left(PART, 1).exists() && left("note", dead).exists());
        fs::write(left(OLD, dead), b"an older one").expect("written");
        write_aside(&file, b"new", true).expect("written");
        assert_eq!(fs::read(&file).expect("is there"), b"new");
        assert!(!left(OLD, dead).exists());
        fs::remove_dir_all(&home).expect("cleared");
    }
}
