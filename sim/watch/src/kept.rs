//! Beginnings that have been run to once, kept for the user: the job at its hour, what the watch was told on the way and
//! what its trends hold, under the scenario's fingerprint, the program's version and a stamp of its build. What is
//! damaged, or belongs to anything else, is as if it were not there.

use crate::feed::Feed;
use crate::trend::Trend;
use deepstay_core::digest::Digest;
use deepstay_job::fingerprint;
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};
use std::io;
use std::path::{Path, PathBuf};

const VERSION: &str = env!("CARGO_PKG_VERSION");
const ENDING: &str = "begun";

/// A folder of beginnings.
#[derive(Clone, Debug)]
pub struct Shelf {
    folder: PathBuf,
    build: u64,
}

/// A beginning as it is kept.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct Kept {
    /// The second.
    pub at: i64,
    /// The job, saved.
    pub job: Vec<u8>,
    /// What the watch was told until then.
    pub feed: Feed,
    /// What instruments showed.
    pub trend: Trend,
}

impl Shelf {
    /// In a folder, which is made when something is first kept there. `build` is a number that another build of the
    /// program does not have: a job goes on as the program does that began it.
    pub fn new(folder: impl Into<PathBuf>, build: u64) -> Shelf {
        Shelf {
            folder: folder.into(),
            build,
        }
    }

    /// In the user's cache, as the XDG base directory specification has it (0.8), for this build of the program; none
    /// where there is no such place.
    pub fn of_the_user() -> Option<Shelf> {
        let cache =
            absolute("XDG_CACHE_HOME").or_else(|| Some(absolute("HOME")?.join(".cache")))?;
        let program = std::fs::metadata(std::env::current_exe().ok()?).ok()?;
        let stamp = format!("{} {:?}", program.len(), program.modified().ok()?);
        let folder = cache.join("deepstay").join("beginnings");
        Some(Shelf::new(folder, Digest::of(stamp.as_bytes())))
    }

    /// The file of a beginning.
    pub fn file(&self, scenario: &Scenario, at: i64) -> PathBuf {
        let print = fingerprint(scenario);
        self.folder.join(format!(
            "{}-{at}-{print:016x}-{}.{ENDING}",
            scenario.name,
            self.stamp()
        ))
    }

    /// Of the files on it, what those of this build have in their names.
    fn stamp(&self) -> String {
        format!("{VERSION}-{:016x}", self.build)
    }

    /// A beginning, where it is kept and whole.
    pub(crate) fn take(&self, scenario: &Scenario, at: i64) -> Option<Kept> {
        let bytes = std::fs::read(self.file(scenario, at)).ok()?;
        let (digest, kept) = bytes.split_first_chunk::<8>()?;
        let whole = u64::from_le_bytes(*digest) == Digest::of(kept);
        let kept: Kept = postcard::from_bytes(kept).ok().filter(|_| whole)?;
        (kept.at == at).then_some(kept)
    }

    /// Keeps a beginning, and clears away what another build has left.
    ///
    /// # Errors
    /// What the system says where folder or file cannot be written.
    pub(crate) fn keep(&self, scenario: &Scenario, kept: &Kept) -> io::Result<()> {
        std::fs::create_dir_all(&self.folder)?;
        self.clear();
        let bytes = postcard::to_allocvec(kept).map_err(io::Error::other)?;
        let file = self.file(scenario, kept.at);
        let part = file.with_extension(format!("{}.part", std::process::id()));
        let digest = Digest::of(&bytes).to_le_bytes();
        std::fs::write(&part, [&digest[..], &bytes].concat())?;
        std::fs::rename(&part, &file).inspect_err(|_| {
            let _ = std::fs::remove_file(&part);
        })
    }

    fn clear(&self) {
        let Ok(files) = std::fs::read_dir(&self.folder) else {
            return;
        };
        for path in files.flatten().map(|f| f.path()) {
            if is_kept(&path) && !self.is_ours(&path) {
                // Another program that clears the same folder may have been quicker.
                let _ = std::fs::remove_file(&path);
            }
        }
    }

    fn is_ours(&self, path: &Path) -> bool {
        let stem = path.file_stem().and_then(|s| s.to_str());
        stem.is_some_and(|s| s.ends_with(&self.stamp()))
    }
}

fn is_kept(path: &Path) -> bool {
    path.extension().is_some_and(|e| e == ENDING)
}
fn absolute(variable: &str) -> Option<PathBuf> {
    let path = PathBuf::from(std::env::var_os(variable)?);
    path.is_absolute().then_some(path)
}
