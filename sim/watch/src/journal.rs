//! The journal of a watch: a file of lines, one for each act from outside, each flushed and synced before the act is
//! done, each carrying a digest of all that stands before it. What it says makes the watch again.
//!
//! A line is JSON. The first says what the journal belongs to; the others are acts, words written by hand, jumps back,
//! and marks of how far time has passed. The digest guards against damage and mistakes, not against forgery.

use deepstay_core::digest::Digest;
use deepstay_core::record::Station;
use deepstay_job::{Act, Options};
use serde::{Deserialize, Serialize};
use std::fs::{File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Version of the journal's form.
const FORM: u32 = 1;

/// What a journal belongs to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Head {
    /// Form of the lines.
    pub journal: u32,
    /// Version of the program that wrote it.
    pub version: String,
    /// The scenario as it was named on the command line: a built-in's name or a path.
    pub scenario: String,
    /// The scenario's fingerprint.
    pub fingerprint: u64,
    /// Seed of every draw, where it was not the scenario's own.
    pub seed: Option<u64>,
    /// How the job is run, and who sat where when it began.
    pub options: Options,
    /// The second at which the person sat down, s.
    pub from_s: i64,
    /// The page that the watch began from, where it began from one.
    pub present: Option<FileAsRead>,
    /// The sheets of the watch, where they are not the built-in ones.
    #[serde(default)]
    pub sheets: Option<FileAsRead>,
}

/// A file that the watch was begun with, and a digest of what it said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileAsRead {
    /// Where it stands.
    pub path: PathBuf,
    /// Digest of its text.
    pub digest: u64,
}

impl Head {
    /// The head of a journal that is to be begun.
    pub fn new(
        scenario: impl Into<String>,
        fingerprint: u64,
        seed: Option<u64>,
        options: Options,
        from_s: i64,
    ) -> Head {
        Head {
            journal: FORM,
            version: env!("CARGO_PKG_VERSION").to_owned(),
            scenario: scenario.into(),
            fingerprint,
            seed,
            options,
            from_s,
            present: None,
            sheets: None,
        }
    }
}

/// A line after the first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Line {
    /// An act, given at a second.
    Act {
        /// The second.
        at: i64,
        /// Whose it is.
        by: Station,
        /// What.
        act: Act,
        /// How long it takes until it is done, s.
        takes_s: i64,
        /// The words of a note.
        words: Option<String>,
    },
    /// Time has passed to a second.
    Reached {
        /// The second.
        at: i64,
    },
    /// The watch went back to a second, and goes on from there.
    Jump {
        /// The second.
        to: i64,
    },
}

/// What was cut off the end of a journal that was not written to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// The line, counted from 1.
    pub line: usize,
    /// Bytes that stood there.
    pub bytes: u64,
}

/// What a journal says.
#[derive(Clone, Debug)]
pub struct Recall {
    /// What it belongs to.
    pub head: Head,
    /// Its lines.
    pub lines: Vec<Line>,
    /// What was cut off its end, where it was not written to its end.
    pub cut: Option<Cut>,
    digest: u64,
    whole: u64,
}

/// Why a journal cannot be read or written.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum JournalError {
    /// The file cannot be read or written.
    #[error("{}: {error}", path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
    /// There is one already.
    #[error("{}: there is a journal already; go on with it by --resume, or name another file", .0.display())]
    Exists(PathBuf),
    /// It is something else.
    #[error("{}: not a journal of a watch: its first line does not say so", .0.display())]
    NotAJournal(PathBuf),
    /// It was written by another version.
    #[error("{}: written by version {theirs}, and this is version {ours}; go on with the version that wrote it", path.display())]
    OtherVersion {
        /// Which file.
        path: PathBuf,
        /// Version that wrote it.
        theirs: String,
        /// Version that reads it.
        ours: &'static str,
    },
    /// It belongs to another scenario, or to one that has changed since.
    #[error("{}: belongs to scenario `{scenario}` as it was (fingerprint {theirs:016x}, now {ours:016x}): its files, its seed or its rule set have changed since", path.display())]
    OtherScenario {
        /// Which file.
        path: PathBuf,
        /// The scenario's name.
        scenario: String,
        /// The fingerprint in the journal.
        theirs: u64,
        /// The scenario's fingerprint now.
        ours: u64,
    },
    /// A line is not as it was written.
    #[error("{}, line {line}: not as it was written: {what}; the lines before it are whole, copy them into a file of their own to go on from there", path.display())]
    Edited {
        /// Which file.
        path: PathBuf,
        /// The line, counted from 1.
        line: usize,
        /// What is wrong with it.
        what: &'static str,
    },
}

/// A journal that is being written.
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    file: File,
    digest: u64,
    whole: u64,
}

impl Journal {
    /// Begins a journal in a new file.
    ///
    /// # Errors
    /// [`JournalError`] where there is a file already, or none can be written.
    pub fn begin(path: &Path, head: &Head) -> Result<Journal, JournalError> {
        let made = OpenOptions::new().write(true).create_new(true).open(path);
        let file = made.map_err(|error| match error.kind() {
            io::ErrorKind::AlreadyExists => JournalError::Exists(path.to_owned()),
            _ => file_error(path, error),
        })?;
        let mut journal = Journal {
            path: path.to_owned(),
            file,
            digest: Digest::new().get(),
            whole: 0,
        };
        let text = serde_json::to_string(head).map_err(|e| file_error(path, e.into()))?;
        journal.put(&text)?;
        Ok(journal)
    }

    /// Goes on with a journal that was read: what was cut is taken off its end.
    ///
    /// # Errors
    /// [`JournalError`] where the file cannot be written.
    pub fn go_on(path: &Path, recall: &Recall) -> Result<Journal, JournalError> {
        let opened = OpenOptions::new().write(true).open(path);
        let file = opened.map_err(|error| file_error(path, error))?;
        let mut journal = Journal {
            path: path.to_owned(),
            file,
            digest: recall.digest,
            whole: recall.whole,
        };
        journal.cut_back()?;
        Ok(journal)
    }

    /// Where it stands.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes a line, and has it on the disk.
    ///
    /// # Errors
    /// [`JournalError`] where it cannot be written whole; what was written of it is taken off again.
    pub fn write(&mut self, line: &Line) -> Result<(), JournalError> {
        let text = serde_json::to_string(line).map_err(|e| file_error(&self.path, e.into()))?;
        self.put(&text)
    }

    fn put(&mut self, text: &str) -> Result<(), JournalError> {
        let digest = chained(self.digest, text);
        let line = sealed(text, digest);
        let done = self
            .file
            .write_all(line.as_bytes())
            .and_then(|()| self.file.sync_data());
        if let Err(error) = done {
            let error = file_error(&self.path, error);
            // Should even that fail, the next who reads the journal finds the line cut, and says so.
            let _ = self.cut_back();
            return Err(error);
        }
        self.digest = digest;
        self.whole += line.len() as u64;
        Ok(())
    }

    fn cut_back(&mut self) -> Result<(), JournalError> {
        let whole = self.whole;
        let done = self
            .file
            .set_len(whole)
            .and_then(|()| self.file.seek(SeekFrom::Start(whole)))
            .and_then(|_| self.file.sync_data());
        done.map_err(|error| file_error(&self.path, error))
    }
}

/// The digest of a line after those before it.
fn chained(before: u64, text: &str) -> u64 {
    Digest::new()
        .with(&before.to_le_bytes())
        .with(text.as_bytes())
        .get()
}

/// A line as it stands in the file: its object with the digest as the last field.
fn sealed(text: &str, digest: u64) -> String {
    let open = text.strip_suffix('}').unwrap_or(text);
    format!("{open},\"chain\":\"{digest:016x}\"}}\n")
}

/// A line's object without its digest, and the digest.
fn unsealed(line: &str) -> Option<(String, u64)> {
    let (open, end) = line.rsplit_once(",\"chain\":\"")?;
    let digest = u64::from_str_radix(end.strip_suffix("\"}")?, 16).ok()?;
    Some((format!("{open}}}"), digest))
}

fn file_error(path: &Path, error: io::Error) -> JournalError {
    JournalError::File {
        path: path.to_owned(),
        error,
    }
}

impl Recall {
    /// Reads a journal. A last line that was not written to its end is left out and told; any other that is not as it
    /// was written is an error at its line.
    ///
    /// # Errors
    /// [`JournalError`]: no journal, of another version, or edited.
    pub fn read(path: &Path) -> Result<Recall, JournalError> {
        let mut bytes = Vec::new();
        File::open(path)
            .and_then(|mut file| file.read_to_end(&mut bytes))
            .map_err(|error| file_error(path, error))?;
        let not = || JournalError::NotAJournal(path.to_owned());
        let mut digest = Digest::new().get();
        let (mut head, mut lines, mut cut, mut whole) = (None, Vec::new(), None, 0);
        for (k, line) in bytes.split_inclusive(|b| *b == b'\n').enumerate() {
            let number = k + 1;
            let edited = |what| JournalError::Edited {
                path: path.to_owned(),
                line: number,
                what,
            };
            let Some(text) = line.strip_suffix(b"\n") else {
                cut = Some(Cut {
                    line: number,
                    bytes: line.len() as u64,
                });
                break;
            };
            let read = std::str::from_utf8(text).ok().and_then(unsealed);
            if k == 0 {
                let (text, seal) = read.ok_or_else(not)?;
                let first: serde_json::Value = serde_json::from_str(&text).map_err(|_| not())?;
                if first.get("journal").is_none() {
                    return Err(not());
                }
                same_version(path, &first)?;
                let read: Head =
                    serde_json::from_str(&text).map_err(|_| edited("it cannot be read"))?;
                digest = chained(digest, &text);
                if digest != seal {
                    return Err(edited("it does not give the digest written with it"));
                }
                head = Some(read);
            } else {
                let (text, seal) = read.ok_or_else(|| edited("it cannot be read"))?;
                digest = chained(digest, &text);
                if digest != seal {
                    return Err(edited("it does not give the digest written with it"));
                }
                let line = serde_json::from_str(&text).map_err(|_| edited("it cannot be read"))?;
                lines.push(line);
            }
            whole += line.len() as u64;
        }
        Ok(Recall {
            head: head.ok_or_else(not)?,
            lines,
            cut,
            digest,
            whole,
        })
    }
}

fn same_version(path: &Path, first: &serde_json::Value) -> Result<(), JournalError> {
    let ours = env!("CARGO_PKG_VERSION");
    let theirs = first.get("version").and_then(|v| v.as_str());
    let form = first.get("journal").and_then(serde_json::Value::as_u64);
    if theirs == Some(ours) && form == Some(u64::from(FORM)) {
        return Ok(());
    }
    Err(JournalError::OtherVersion {
        path: path.to_owned(),
        theirs: theirs.unwrap_or("unknown").to_owned(),
        ours,
    })
}
