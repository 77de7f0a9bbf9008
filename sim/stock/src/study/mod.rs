//! A whole study, step by step: jobs run or put together from files, what else is asked of them, and what is
//! made of them.

mod basis;
mod conclusion;
mod remarks;
mod threads;
mod underway;

pub use basis::{Basis, StudyError};
pub use conclusion::{Conclusion, ToLoad, Today};
pub use threads::{ThreadsError, on_threads};
pub use underway::{Underway, UnderwayError};

use super::{
    Batch, Chance, Difference, Ensemble, Failed, Head, Merged, OneAtATime, Replicate, answer,
    compare, floors, one_at_a_time, reserve, reserve_inputs,
};
use std::ops::Range;

/// What if: inputs set otherwise, and what that does.
#[derive(Clone, Debug)]
pub struct WhatIf {
    /// What was set, as it was typed.
    pub set: Vec<String>,
    /// Gas by gas.
    pub differences: Vec<Difference>,
    /// Share of jobs that go below a minimum, as the scenario is and with what is set.
    pub minimum: (Chance, Chance),
    /// Share of jobs whose demand is cut short by an empty stock, in the same order.
    pub cut_short: (Chance, Chance),
}

/// An ensemble, what was run of it, and what was asked of it.
pub struct Study {
    /// The ensemble.
    pub ensemble: Ensemble,
    /// What its jobs belong to.
    pub head: Head,
    /// First job asked for, and the one after the last.
    pub asked: (u64, u64),
    /// The jobs.
    pub jobs: Vec<Replicate>,
    /// Jobs that could not be run.
    pub failed: Vec<Failed>,
    /// Whether it was told to stop before all was done.
    pub interrupted: bool,
    /// What each source does alone, gas by gas, and the demand without any.
    pub alone: Option<(Vec<Vec<OneAtATime>>, Vec<f64>)>,
    /// What if.
    pub what_if: Option<WhatIf>,
    /// How the job stands, where it is under way.
    pub underway: Option<Underway>,
}

impl Study {
    /// A study of which nothing was run yet; of a job under way, [`Underway::assimilate`] comes before.
    pub fn of(ensemble: Ensemble, underway: Option<Underway>) -> Study {
        let present = underway.as_ref().map_or(0, |u| u.fingerprint);
        Study {
            head: Head::of(&ensemble, env!("CARGO_PKG_VERSION"), present),
            ensemble,
            asked: (0, 0),
            jobs: Vec::new(),
            failed: Vec::new(),
            interrupted: false,
            alone: None,
            what_if: None,
            underway,
        }
    }

    /// Runs jobs on the threads at hand. `done` hears of each that is over.
    pub fn run(
        &mut self,
        jobs: Range<u64>,
        stop: &(dyn Fn() -> bool + Sync),
        done: &(dyn Fn() + Sync),
    ) {
        self.asked = (jobs.start, jobs.end);
        (self.jobs, self.failed) = self.ensemble.run(jobs, stop, done);
        self.interrupted |= stop();
    }

    /// Takes the jobs of batches instead of running any.
    pub fn take(&mut self, merged: Merged) {
        self.asked = merged.asked;
        self.jobs = merged.jobs;
        self.failed = merged.failed;
    }

    /// Its jobs as a batch, to be kept and merged with others.
    pub fn batch(&self) -> Batch {
        Batch {
            head: self.head.clone(),
            asked: self.asked,
            jobs: self.jobs.clone(),
            failed: self.failed.clone(),
        }
    }

    /// Runs the same jobs with inputs set otherwise, and tells the difference; `set` is what was set, in words.
    pub fn what_if(
        &mut self,
        (set, changed): (&[String], &Ensemble),
        basis: &Basis,
        stop: &(dyn Fn() -> bool + Sync),
        done: &(dyn Fn() + Sync),
    ) {
        let (with, _) = changed.run(self.asked.0..self.asked.1, stop, done);
        let (before, after) = (
            shares(&self.ensemble, &self.jobs, basis),
            shares(changed, &with, basis),
        );
        self.what_if = Some(WhatIf {
            set: set.to_vec(),
            differences: compare(&self.ensemble.gases, &self.jobs, &with),
            minimum: (before.0, after.0),
            cut_short: (before.1, after.1),
        });
        self.interrupted |= stop();
    }

    /// Finds what each source does alone: [`Study::jobs_alone`] further jobs. Nothing where nothing is drawn.
    pub fn try_alone(&mut self, stop: &(dyn Fn() -> bool + Sync), done: &(dyn Fn() + Sync)) {
        if !self.ensemble.sources.is_empty() && !stop() {
            self.alone = one_at_a_time(&self.ensemble, stop, done);
        }
        self.interrupted |= stop();
    }

    /// How many jobs [`Study::try_alone`] runs.
    pub fn jobs_alone(&self) -> u64 {
        1 + 2 * self.ensemble.sources.len() as u64
    }

    /// What is made of it: minimums, answer, load and forecast, and what has to be told first.
    ///
    /// # Errors
    /// A rule set or supplier's list that cannot be used.
    pub fn conclude(&self, basis: &Basis) -> Result<Conclusion, StudyError> {
        Conclusion::of(self, basis)
    }
}

/// Shares of jobs that go below a minimum, and whose demand is cut short.
fn shares(ensemble: &Ensemble, jobs: &[Replicate], basis: &Basis) -> (Chance, Chance) {
    let inputs = reserve_inputs(&ensemble.base.study.planner);
    let sets = basis.rule_sets(&ensemble.base).unwrap_or_default();
    let sheets: Vec<reserve::Sheet> = sets
        .iter()
        .map(|set| reserve::sheet(&ensemble.base, set, &inputs))
        .collect();
    let own = || reserve::sheet(&ensemble.base, &ensemble.base.rules, &inputs);
    let sheet = reserve::together(&sheets).unwrap_or_else(own);
    let floors = floors(ensemble, &sheet, &inputs);
    let answer = answer(ensemble, jobs, (0, jobs.len() as u64), &floors);
    let minimum = answer
        .chance
        .last()
        .map_or(Chance::of(0, jobs.len() as u64), |c| c.minimum);
    (minimum, answer.cut_short)
}
