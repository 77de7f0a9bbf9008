//! A batch of jobs as a file, so that a study can be shared out and put together again: what one run of all
//! the jobs gives is, bit for bit, what merged batches give.
//!
//! The file is a line that says what it is, then the head and the jobs in postcard's notation, then a sum of
//! all bytes before it.

use super::{Ensemble, Failed, Replicate};
use deepstay_core::aside::{AsideError, write_aside};
use deepstay_core::digest::Digest;
use deepstay_scenario::To;
use serde::{Deserialize, Serialize};
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

const FIRST_LINE: &[u8] = b"deepstay batch of jobs 3\n";
/// The most that is read of a batch, bytes: a job takes some kilobytes.
const LARGEST: u64 = 4 << 30;

/// What a batch belongs to: only batches with the same head can be merged.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Head {
    /// Version of the program.
    pub version: String,
    /// Short name of the scenario.
    pub scenario: String,
    /// Fingerprint of every text that the scenario is made of.
    pub fingerprint: u64,
    /// Seed of what is drawn.
    pub seed: u64,
    /// By how much the banks are multiplied.
    pub ample: f64,
    /// Inputs set by hand, as way and value.
    pub set: Vec<(String, String)>,
    /// What the study was started from; 0 without a present.
    pub present: u64,
}

/// Jobs of a study that were run together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Batch {
    /// What it belongs to.
    pub head: Head,
    /// First job that was asked for, and the one after the last.
    pub asked: (u64, u64),
    /// The jobs, in the order of their numbers.
    pub jobs: Vec<Replicate>,
    /// Those that could not be run, in the same order.
    pub failed: Vec<Failed>,
}

/// Batches put together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Merged {
    /// First job that was asked for, and the one after the last.
    pub asked: (u64, u64),
    /// The jobs, in the order of their numbers.
    pub jobs: Vec<Replicate>,
    /// Those that could not be run, in the same order.
    pub failed: Vec<Failed>,
}

/// Why a batch cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum BatchError {
    /// No file has the name.
    #[error("{file}: there is no such file")]
    Missing {
        /// Which file.
        file: String,
    },
    /// The system does not let it be read.
    #[error("{file} cannot be read: {why}")]
    Unreadable {
        /// Which file.
        file: String,
        /// What the system says.
        why: String,
    },
    /// Another kind of file.
    #[error("{file} is no batch of jobs: stock --save writes those")]
    NotOurs {
        /// Which file.
        file: String,
    },
    /// Cut short or altered.
    #[error(
        "{file} is damaged: it was cut short or altered after it was written; run its jobs again"
    )]
    Damaged {
        /// Which file.
        file: String,
    },
    /// Of another study.
    #[error("{file} belongs to another study: {what} is {there} there and {here} here")]
    Other {
        /// Which file.
        file: String,
        /// What is different.
        what: &'static str,
        /// In the file.
        there: String,
        /// In what it was to be merged with.
        here: String,
    },
    /// A job twice.
    #[error("job {job} is in {first} and in {second}; leave one of them out")]
    Twice {
        /// Its number.
        job: u64,
        /// One file.
        first: String,
        /// The other.
        second: String,
    },
}

/// A fingerprint of texts, so that a change of any of them is noticed.
pub fn fingerprint<'a>(texts: impl IntoIterator<Item = &'a str>) -> u64 {
    let each = |digest: Digest, text: &str| digest.with(text.as_bytes()).with_byte(0xff);
    texts.into_iter().fold(Digest::new(), each).get()
}

impl Head {
    /// The head of a study's batches. `version` is the program's.
    pub fn of(ensemble: &Ensemble, version: &str, present: u64) -> Head {
        let base = &ensemble.base;
        let texts = ensemble.texts().texts();
        let rules = format!("{:?}", base.rules);
        let spread = format!("{:?}", base.steel);
        let whole = texts
            .iter()
            .map(|(_, text)| text.as_str())
            .chain([rules.as_str(), spread.as_str()]);
        let set = ensemble.set().iter().map(|c| {
            let to = match &c.to {
                To::Text(text) | To::Plus(text) => text.clone(),
                To::Times(by) => format!("times {by}"),
            };
            (c.path.clone(), to)
        });
        Head {
            version: version.to_owned(),
            scenario: base.name.clone(),
            fingerprint: fingerprint(whole),
            seed: ensemble.seed(),
            ample: ensemble.ample(),
            set: set.collect(),
            present,
        }
    }

    /// What differs from another, as words and the two values.
    fn unlike(&self, other: &Head) -> Option<(&'static str, String, String)> {
        let set = |h: &Head| {
            let each: Vec<String> = h
                .set
                .iter()
                .map(|(way, to)| format!("{way}={to}"))
                .collect();
            if each.is_empty() {
                "nothing".to_owned()
            } else {
                each.join(", ")
            }
        };
        let pairs = [
            (
                "the program's version",
                self.version.clone(),
                other.version.clone(),
            ),
            (
                "the scenario",
                self.scenario.clone(),
                other.scenario.clone(),
            ),
            (
                "the fingerprint of the scenario's files",
                format!("{:016x}", self.fingerprint),
                format!("{:016x}", other.fingerprint),
            ),
            ("the seed", self.seed.to_string(), other.seed.to_string()),
            (
                "how ample the banks are",
                self.ample.to_string(),
                other.ample.to_string(),
            ),
            ("what was set by hand", set(self), set(other)),
            (
                "the present it starts from",
                format!("{:016x}", self.present),
                format!("{:016x}", other.present),
            ),
        ];
        pairs.into_iter().find(|(_, a, b)| a != b)
    }
}

impl Batch {
    /// The bytes of a file.
    pub fn bytes(&self) -> Vec<u8> {
        let mut bytes = FIRST_LINE.to_vec();
        // Nothing in a batch is of unknown length, which is all that could fail.
        bytes.extend(postcard::to_stdvec(self).unwrap_or_default());
        let sum = Digest::of(&bytes);
        bytes.extend(sum.to_le_bytes());
        bytes
    }

    /// A batch from the bytes of a file.
    ///
    /// # Errors
    /// It is another kind of file, or damaged.
    pub fn read(bytes: &[u8], file: &str) -> Result<Batch, BatchError> {
        let kind = b"deepstay batch of jobs ";
        if !bytes.starts_with(kind) {
            return Err(BatchError::NotOurs {
                file: file.to_owned(),
            });
        }
        let damaged = || BatchError::Damaged {
            file: file.to_owned(),
        };
        let (whole, sum) = bytes.split_last_chunk::<8>().ok_or_else(damaged)?;
        if u64::from_le_bytes(*sum) != Digest::of(whole) {
            return Err(damaged());
        }
        let inner = whole.strip_prefix(FIRST_LINE).ok_or_else(damaged)?;
        postcard::from_bytes(inner).map_err(|_| damaged())
    }
}

impl Batch {
    /// Keeps it in a file.
    ///
    /// # Errors
    /// The name is taken and `replace` is false, or the system refuses.
    pub fn save(&self, file: &Path, replace: bool) -> Result<(), AsideError> {
        write_aside(file, &self.bytes(), replace)
    }

    /// A batch from a file.
    ///
    /// # Errors
    /// It cannot be read, is another kind of file, or damaged.
    pub fn open(file: &Path) -> Result<Batch, BatchError> {
        let name = file.display().to_string();
        let unreadable = |e: std::io::Error| match e.kind() {
            ErrorKind::NotFound => BatchError::Missing { file: name.clone() },
            _ => BatchError::Unreadable {
                file: name.clone(),
                why: e.to_string(),
            },
        };
        // What is no batch is not read to an end that it may not have.
        let mut from = File::open(file).map_err(unreadable)?;
        let mut bytes = Vec::new();
        let first = FIRST_LINE.len() as u64;
        (&mut from)
            .take(first)
            .read_to_end(&mut bytes)
            .map_err(unreadable)?;
        if bytes == FIRST_LINE {
            from.take(LARGEST)
                .read_to_end(&mut bytes)
                .map_err(unreadable)?;
        }
        Batch::read(&bytes, &name)
    }
}

/// Puts the batches of several files together.
///
/// # Errors
/// As for [`Batch::open`] and [`merge`].
pub fn merge_files(head: &Head, files: &[PathBuf]) -> Result<Merged, BatchError> {
    let named = |file: &PathBuf| Ok((file.display().to_string(), Batch::open(file)?));
    let batches = files.iter().map(named).collect::<Result<_, BatchError>>()?;
    merge(head, batches)
}

/// Puts batches together.
///
/// # Errors
/// A batch belongs to another study than `head`, or a job is there twice.
pub fn merge(head: &Head, batches: Vec<(String, Batch)>) -> Result<Merged, BatchError> {
    let mut merged = Merged::default();
    let mut files = Vec::new();
    let mut numbers: Vec<(u64, usize)> = Vec::new();
    let mut asked: Option<(u64, u64)> = None;
    for (i, (file, batch)) in batches.into_iter().enumerate() {
        if let Some((what, there, here)) = batch.head.unlike(head) {
            return Err(BatchError::Other {
                file,
                what,
                there,
                here,
            });
        }
        let (from, to) = batch.asked;
        asked = Some(asked.map_or((from, to), |(a, b)| (a.min(from), b.max(to))));
        numbers.extend(
            batch
                .jobs
                .iter()
                .map(|r| r.number)
                .chain(batch.failed.iter().map(|f| f.job))
                .map(|n| (n, i)),
        );
        merged.jobs.extend(batch.jobs);
        merged.failed.extend(batch.failed);
        files.push(file);
    }
    numbers.sort_unstable();
    if let Some(pair) = numbers.windows(2).find(|w| w[0].0 == w[1].0) {
        let (first, second) = (files[pair[0].1].clone(), files[pair[1].1].clone());
        return Err(BatchError::Twice {
            job: pair[0].0,
            first,
            second,
        });
    }
    merged.asked = asked.unwrap_or((0, 0));
    merged.jobs.sort_by_key(|r| r.number);
    merged.failed.sort_by_key(|f| f.job);
    Ok(merged)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn head() -> Head {
        Head {
            version: "1".into(),
            scenario: "s".into(),
            fingerprint: 7,
            seed: 1,
            ample: 1.0,
            set: vec![],
            present: 0,
        }
    }

    fn batch(from: u64, to: u64) -> Batch {
        let job = |number: u64| Replicate {
            number,
            left_mol: vec![0.1 * number as f64, f64::MIN_POSITIVE],
            ..Replicate::default()
        };
        let failed = vec![Failed {
            job: to - 1,
            why: "of its own".to_owned(),
        }];
        Batch {
            head: head(),
            asked: (from, to),
            jobs: (from..to - 1).map(job).collect(),
            failed,
        }
    }

    #[test]
    fn a_batch_reads_back_bit_for_bit() {
        let whole = batch(0, 50);
        assert_eq!(Batch::read(&whole.bytes(), "f").expect("reads"), whole);
    }

    #[test]
    fn merged_batches_are_what_one_run_gives() {
        let parts = vec![
            ("b".to_owned(), batch(20, 50)),
            ("a".to_owned(), batch(0, 20)),
        ];
        let merged = merge(&head(), parts).expect("merges");
        assert_eq!(merged.asked, (0, 50));
        assert_eq!(
            merged.jobs.iter().map(|r| r.number).collect::<Vec<u64>>(),
            (0..49).filter(|n| *n != 19).collect::<Vec<u64>>()
        );
        assert_eq!(
            merged.failed.iter().map(|f| f.job).collect::<Vec<u64>>(),
            [19, 49]
        );
    }

    #[test]
    fn what_cannot_be_merged_says_why() {
        let mut other = batch(20, 30);
        other.head.seed = 2;
        let no = merge(
            &head(),
            vec![("a".into(), batch(0, 20)), ("b".into(), other)],
        )
        .expect_err("another seed");
        assert_eq!(
            no.to_string(),
            "b belongs to another study: the seed is 2 there and 1 here"
        );
        let mut older = batch(20, 30);
        older.head.version = "0".into();
        assert!(matches!(
            merge(&head(), vec![("b".into(), older)]),
            Err(BatchError::Other {
                what: "the program's version",
                ..
            })
        ));
        let no = merge(
            &head(),
            vec![("a".into(), batch(0, 20)), ("b".into(), batch(19, 30))],
        )
        .expect_err("a job twice");
        assert_eq!(
            no.to_string(),
            "job 19 is in a and in b; leave one of them out"
        );
    }

    #[test]
    fn what_is_no_batch_is_told_from_a_damaged_one() {
        assert!(matches!(
            Batch::read(b"time,bank\n", "f"),
            Err(BatchError::NotOurs { .. })
        ));
        assert!(matches!(
            Batch::read(b"", "f"),
            Err(BatchError::NotOurs { .. })
        ));
        let whole = batch(0, 5).bytes();
        for cut in FIRST_LINE.len()..whole.len() {
            assert!(
                matches!(
                    Batch::read(&whole[..cut], "f"),
                    Err(BatchError::Damaged { .. })
                ),
                "{cut}"
            );
        }
        let mut flipped = whole;
        flipped[40] ^= 1;
        assert!(matches!(
            Batch::read(&flipped, "f"),
            Err(BatchError::Damaged { .. })
        ));
    }
}
