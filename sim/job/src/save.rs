//! A job put aside and taken up again at any second, to the same bits.
//!
//! A save is a line that says what it is; a head with the program's version, the scenario's name and the
//! scenario's fingerprint; the state, in postcard's notation; and a digest of all bytes before it. It holds what
//! the job goes on from and nothing of what it has done: that went to its sink.

use super::clock::{Job, Options};
use super::fingerprint::fingerprint;
use deepstay_core::digest::Digest;
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use thiserror::Error;

const FIRST_LINE: &[u8] = b"deepstay saved job 5\n";
/// How every save of any version begins.
const KIND: &[u8] = b"deepstay saved job ";
const VERSION: &str = env!("CARGO_PKG_VERSION");

/// Why a saved job cannot be taken up.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum RestoreError {
    /// It is something else.
    #[error("not a saved job: a save begins with a line that says so")]
    NotASave,
    /// Its bytes are not those that were written.
    #[error(
        "the saved job is damaged: its bytes do not give the digest that was written with them"
    )]
    Damaged,
    /// It was saved by another version of the program.
    #[error(
        "the job was saved by version {saved}, and this is version {ours}; take it up with the version that saved it, or run it again"
    )]
    OtherVersion {
        /// Version that saved it.
        saved: String,
        /// Version that reads it.
        ours: String,
    },
    /// It belongs to another scenario.
    #[error("the saved job belongs to scenario `{saved}`, not to `{given}`")]
    OtherScenario {
        /// Scenario of the saved job.
        saved: String,
        /// Scenario it was to be taken up with.
        given: String,
    },
    /// It belongs to a scenario of this name that says something else.
    #[error(
        "the saved job belongs to another scenario `{name}`: its files, its seed or its rule set have changed since (fingerprint {saved:016x}, not {given:016x})"
    )]
    ChangedScenario {
        /// Name of both.
        name: String,
        /// Fingerprint of the saved job's scenario.
        saved: u64,
        /// Fingerprint of the one it was to be taken up with.
        given: u64,
    },
}

#[derive(Serialize, Deserialize)]
struct Head {
    version: String,
    scenario: String,
    fingerprint: u64,
}

impl Job {
    /// Everything the job goes on from, as bytes.
    pub fn save(&self) -> Vec<u8> {
        let head = Head {
            version: VERSION.to_owned(),
            scenario: self.scenario().name.clone(),
            fingerprint: self.fingerprint(),
        };
        let mut bytes = FIRST_LINE.to_vec();
        bytes.extend(plain(&(head, self.options(), self)));
        let digest = Digest::of(&bytes);
        bytes.extend(digest.to_le_bytes());
        bytes
    }

    /// Takes up a saved job of the same scenario, by the same version of the program.
    ///
    /// # Errors
    /// [`RestoreError`] when the bytes are not a saved job, are not as they were written, or belong to another
    /// version or another scenario.
    pub fn restore(bytes: &[u8], scenario: Arc<Scenario>) -> Result<Job, RestoreError> {
        use RestoreError::{ChangedScenario, Damaged, NotASave, OtherScenario, OtherVersion};
        if !bytes.starts_with(KIND) {
            return Err(NotASave);
        }
        let (whole, digest) = bytes.split_last_chunk::<8>().ok_or(Damaged)?;
        if u64::from_le_bytes(*digest) != Digest::of(whole) {
            return Err(Damaged);
        }
        let other = |saved: &str| OtherVersion {
            saved: saved.to_owned(),
            ours: VERSION.to_owned(),
        };
        let inner = whole
            .strip_prefix(FIRST_LINE)
            .ok_or_else(|| other("unknown (its first line is of another form)"))?;
        let (head, state): (Head, &[u8]) = postcard::take_from_bytes(inner).map_err(|_| Damaged)?;
        if head.version != VERSION {
            return Err(other(&head.version));
        }
        if head.scenario != scenario.name {
            return Err(OtherScenario {
                saved: head.scenario,
                given: scenario.name.clone(),
            });
        }
        let given = fingerprint(&scenario);
        if head.fingerprint != given {
            return Err(ChangedScenario {
                name: head.scenario,
                saved: head.fingerprint,
                given,
            });
        }
        let (options, job): (Options, Job) = postcard::from_bytes(state).map_err(|_| Damaged)?;
        // What a build of the same version with another state would read into it is not what was written.
        if plain(&(options, &job)) != state {
            return Err(Damaged);
        }
        let job = job.with(scenario, options);
        job.keep_fingerprint(given);
        Ok(job)
    }

    /// A digest of everything that decides how the job goes on: scenario, physics, who acts, and the state to
    /// the last bit. Two jobs with the same one go on alike; how often each was looked at, and whether seconds
    /// were leapt over, is not in it.
    pub fn state_hash(&self) -> u64 {
        let Options {
            physics,
            saturation,
            dive,
            harm,
            ..
        } = self.options();
        let scenario = self.fingerprint();
        let state = plain(&(scenario, physics, saturation, dive, harm, self));
        Digest::of(&state)
    }
}

/// Plain data as bytes; only lists of unknown length could fail, and a job has none.
fn plain(data: &impl Serialize) -> Vec<u8> {
    postcard::to_allocvec(data).expect("plain data is always written")
}
