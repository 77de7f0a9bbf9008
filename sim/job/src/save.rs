//! A job put aside and taken up again at any second, to the same bits.

use super::run::Job;
use deepstay_scenario::Scenario;
use std::sync::Arc;
use thiserror::Error;

/// Why a saved job cannot be taken up.
#[derive(Debug, Error)]
pub enum RestoreError {
    /// It is not a saved job of this version.
    #[error("not a saved job that this version can take up: {0}")]
    Unreadable(#[from] postcard::Error),
    /// It belongs to another scenario.
    #[error("the saved job belongs to scenario `{saved}`, not to `{given}`")]
    OtherScenario {
        /// Scenario of the saved job.
        saved: String,
        /// Scenario it was to be taken up with.
        given: String,
    },
}

impl Job {
    /// The whole state as bytes.
    ///
    /// # Errors
    /// Never in practice: the state is plain data.
    pub fn save(&self) -> Result<Vec<u8>, postcard::Error> {
        postcard::to_allocvec(&(self.scenario.name.as_str(), self))
    }

    /// Takes up a saved job of the same scenario.
    ///
    /// # Errors
    /// [`RestoreError`] when the bytes are not a saved job, or belong to another scenario.
    pub fn restore(bytes: &[u8], scenario: Arc<Scenario>) -> Result<Job, RestoreError> {
        let (saved, mut job): (String, Job) = postcard::from_bytes(bytes)?;
        if saved != scenario.name {
            return Err(RestoreError::OtherScenario {
                saved,
                given: scenario.name.clone(),
            });
        }
        job.plant = job.plant.with_steel(Arc::new(scenario.steel.clone()));
        job.saturation.attach(&scenario);
        job.dive.attach(&scenario);
        job.scenario = scenario;
        Ok(job)
    }
}
