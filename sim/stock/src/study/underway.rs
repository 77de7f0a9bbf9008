//! From today: how a job under way stands, and what that says of its inputs.

use crate::{Assimilation, Ensemble, assimilate, fingerprint};
use deepstay_scenario::Present;

/// How a job under way stands, and what that says of its inputs.
#[derive(Clone, Debug)]
pub struct Underway {
    /// How the job stands.
    pub present: Present,
    /// What it says.
    pub assimilation: Assimilation,
    /// Fingerprint of what it was read from.
    pub fingerprint: u64,
}

/// Why a present cannot be taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum UnderwayError {
    /// It was told to stop.
    #[error("interrupted before the present was looked at")]
    Interrupted,
    /// Nothing in it can be held against the scenario.
    #[error(
        "the present says nothing that can be held against the scenario: give gauges of banks, or what was used"
    )]
    SaysNothing,
}

impl Underway {
    /// Holds a present against the ensemble, which then draws from what is believed after it. `done` hears of each of
    /// the jobs that this takes: one, and two for each source.
    ///
    /// # Errors
    /// It was told to stop, or the present says nothing.
    pub fn assimilate(
        ensemble: &mut Ensemble,
        present: Present,
        stop: &(dyn Fn() -> bool + Sync),
        done: &(dyn Fn() + Sync),
    ) -> Result<Underway, UnderwayError> {
        let Some(assimilation) = assimilate(ensemble, &present, stop, done) else {
            return Err(if stop() {
                UnderwayError::Interrupted
            } else {
                UnderwayError::SaysNothing
            });
        };
        ensemble.condition(assimilation.posterior.clone(), present.at_s);
        let fingerprint = fingerprint([format!("{present:?}").as_str()]);
        Ok(Underway {
            present,
            assimilation,
            fingerprint,
        })
    }
}
