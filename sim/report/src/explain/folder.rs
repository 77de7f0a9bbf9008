//! The files that a run, a rota or a study left in a folder, read for their figures.

use super::error::ExplainError;
use crate::made_from::VERSION;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// Largest file that is read, bytes.
const LARGEST: u64 = 1 << 30;

/// The three files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    Job,
    Rota,
    Stock,
}

impl Kind {
    pub const ALL: [Kind; 3] = [Kind::Job, Kind::Rota, Kind::Stock];

    /// The first part of its figures' ids.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Job => "job",
            Kind::Rota => "rota",
            Kind::Stock => "stock",
        }
    }

    /// The file.
    pub fn file(self) -> &'static str {
        match self {
            Kind::Job => "job.json",
            Kind::Rota => "rota.json",
            Kind::Stock => "stock.json",
        }
    }

    /// The tables beside it that its figures can be counted from.
    pub fn tables(self) -> &'static [&'static str] {
        match self {
            Kind::Job => &[
                "ledger.csv",
                "events.csv",
                "alarms.csv",
                "bell-runs.csv",
                "gas-status.csv",
                "divers.csv",
                "gas-plan.csv",
                "working.csv",
            ],
            Kind::Rota => &["rota.csv"],
            Kind::Stock => &["jobs.csv", "days.csv", "reserve.csv", "load.csv"],
        }
    }

    /// The version of its shape that is read.
    fn format(self) -> u32 {
        match self {
            Kind::Job => crate::job::summary::JOB_FORMAT,
            Kind::Rota => crate::rota::summary::ROTA_FORMAT,
            Kind::Stock => crate::stock::summary::STOCK_FORMAT,
        }
    }
}

/// The files of a folder.
#[derive(Clone, Debug)]
pub struct Folder {
    name: String,
    files: BTreeMap<String, Vec<u8>>,
}

impl Folder {
    /// Reads from a folder what figures can be explained from.
    ///
    /// # Errors
    /// The folder or a file cannot be read.
    pub fn open(path: &Path) -> Result<Folder, ExplainError> {
        let name = path.display().to_string();
        let failed = |action, path: &Path, cause: String| ExplainError::Folder {
            action,
            path: path.display().to_string(),
            cause,
        };
        let found = fs::metadata(path);
        let found = found.map_err(|e| failed("cannot look at the folder", path, e.to_string()))?;
        if !found.is_dir() {
            let cause = "it is no folder".to_owned();
            return Err(failed("cannot look into", path, cause));
        }
        let mut files = BTreeMap::new();
        for kind in Kind::ALL {
            let mut names = vec![kind.file()];
            if !path.join(kind.file()).exists() {
                continue;
            }
            names.extend(kind.tables());
            for file in names {
                let at = path.join(file);
                match fs::metadata(&at) {
                    Err(_) => continue,
                    Ok(found) if found.len() > LARGEST => {
                        return Err(failed("cannot read", &at, "it is too large".to_owned()));
                    }
                    Ok(_) => {}
                }
                let bytes = fs::read(&at);
                let bytes = bytes.map_err(|e| failed("cannot read", &at, e.to_string()))?;
                files.insert(file.to_owned(), bytes);
            }
        }
        Ok(Folder { name, files })
    }

    /// Files that are not in a folder yet.
    pub fn of(files: impl IntoIterator<Item = (String, Vec<u8>)>) -> Folder {
        Folder {
            name: "the folder".to_owned(),
            files: files.into_iter().collect(),
        }
    }

    /// A file, if it is there.
    pub(super) fn file(&self, name: &str) -> Option<&[u8]> {
        self.files.get(name).map(Vec::as_slice)
    }

    /// The summaries in it.
    pub(super) fn summaries(&self) -> Result<Vec<(Kind, Value)>, ExplainError> {
        let mut all = Vec::new();
        for kind in Kind::ALL {
            if let Some(bytes) = self.file(kind.file()) {
                all.push((kind, self.summary(kind, bytes)?));
            }
        }
        if all.is_empty() {
            return Err(ExplainError::NoSummary {
                folder: self.name.clone(),
            });
        }
        Ok(all)
    }

    fn summary(&self, kind: Kind, bytes: &[u8]) -> Result<Value, ExplainError> {
        let not = |why: String| ExplainError::NotASummary {
            folder: self.name.clone(),
            file: kind.file(),
            why,
        };
        let root: Value = serde_json::from_slice(bytes).map_err(|e| not(e.to_string()))?;
        let format = root
            .get("format")
            .ok_or_else(|| not("it has no field `format`".to_owned()))?;
        if format.as_u64() != Some(u64::from(kind.format())) {
            return Err(ExplainError::OtherFormat {
                folder: self.name.clone(),
                file: kind.file(),
                found: format.to_string(),
                by: root
                    .get("version")
                    .and_then(Value::as_str)
                    .map(str::to_owned),
                reads: kind.format(),
                own: VERSION,
            });
        }
        Ok(root)
    }
}
