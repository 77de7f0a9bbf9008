//! Whole jobs under drawn inputs, as many as are wanted, each through the job's own clock. Jobs are shared
//! among threads; within a job nothing is, so that the answer is the same bit for bit on any number.

use super::burning::burn;
use super::{Gas, Posterior, Replicate, Sampled, Sampler, Tally, gases, sources};
use deepstay_core::record::Ledger;
use deepstay_job::{Ended, Halt, Job, Options};
use deepstay_rota::JobPlanner;
use deepstay_scenario::{Diagnostics, JobTexts, Patch, Scenario, Source, Varied};
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use std::ops::Range;
use std::sync::Arc;

/// Plant time between two looks at whether to stop, s.
const STRETCH_S: i64 = 24 * 3600;
const DAY_S: i64 = 86_400;

/// An ensemble to be run.
pub struct Ensemble {
    texts: JobTexts,
    set: Vec<Patch>,
    /// The scenario with the inputs that were set by hand, and nothing drawn.
    pub base: Arc<Scenario>,
    /// What is drawn anew for each job.
    pub sources: Vec<Source>,
    /// The gases of the stock.
    pub gases: Vec<Gas>,
    seed: u64,
    ample: f64,
    sampler: Sampler,
    present_s: Option<i64>,
}

/// Why a job of an ensemble could not be run.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
#[error("job {job}: with what was drawn for it the scenario cannot be: {why}")]
pub struct Failed {
    /// Its number.
    pub job: u64,
    /// The first complaint, with what had been changed.
    pub why: String,
}

impl Ensemble {
    /// An ensemble over a job's texts, with inputs set by hand, under a seed, or else the scenario's own. With `ample` above 1 every
    /// bank has so many times its bottles, so that demand is not cut short by an empty bank.
    ///
    /// # Errors
    /// Everything found wrong with the scenario, with the changes, and with inputs at the far ends of their
    /// laws.
    pub fn new(
        texts: JobTexts,
        set: Vec<Patch>,
        seed: Option<u64>,
        ample: f64,
    ) -> Result<Ensemble, Diagnostics> {
        let base = texts.scenario(&set)?;
        let seed = seed.unwrap_or(base.seed);
        let sources = sources(&texts, &base.study, &set)?;
        let sampler = Sampler::new(seed, base.plan.end_s);
        let gases = gases(&base.steel);
        let ensemble = Ensemble {
            texts,
            set,
            base: Arc::new(base),
            sources,
            gases,
            seed,
            ample,
            sampler,
            present_s: None,
        };
        ensemble.try_ends()?;
        Ok(ensemble)
    }

    /// Draws inputs from their posterior: conditioned on what was observed at a second of the job.
    pub fn condition(&mut self, posterior: Posterior, present_s: i64) {
        self.present_s = Some(present_s);
        self.sampler = Sampler::new(self.seed, self.base.plan.end_s).posterior(posterior);
    }

    /// Seed of what is drawn.
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// By how much the banks are multiplied.
    pub fn ample(&self) -> f64 {
        self.ample
    }

    /// Inputs set by hand.
    pub fn set(&self) -> &[Patch] {
        &self.set
    }

    /// The texts of the job.
    pub fn texts(&self) -> &JobTexts {
        &self.texts
    }

    /// Days of the plan, the last one begun counted whole.
    pub fn days(&self) -> usize {
        usize::try_from((self.base.plan.end_s + DAY_S - 1) / DAY_S).unwrap_or(0)
    }

    /// When a quarter of the planned bell runs are gone: a breakdown that is tried alone comes then.
    pub fn quarter_s(&self) -> i64 {
        let runs = &self.base.plan.bell_runs;
        runs.get(runs.len() / 4)
            .map_or(self.base.plan.end_s / 4, |r| r.at)
    }

    /// An input that cannot be at the far ends of its law is told before the first job, not after an hour.
    fn try_ends(&self) -> Result<(), Diagnostics> {
        for source in &self.sources {
            for share in [0.001, 0.999] {
                let Some(sampled) = super::only(source, share, self.quarter_s()) else {
                    continue;
                };
                self.scenario(&sampled).map_err(|mut bad| {
                    for diagnostic in &mut bad.all {
                        let at = describe(source, &sampled);
                        let suggestion = diagnostic.remedy.take();
                        let how = format!("keep the law within what can be, with least and most ({at}, 1 job in 1000)");
                        diagnostic.remedy = Some(suggestion.map_or(how.clone(), |s| format!("{s}; or {how}")));
                    }
                    bad
                })?;
            }
        }
        Ok(())
    }

    /// The scenario with what was sampled.
    ///
    /// # Errors
    /// It cannot be.
    pub fn scenario(&self, sampled: &Sampled) -> Result<Scenario, Diagnostics> {
        let scenario = if sampled.changes.is_empty() {
            (*self.base).clone()
        } else {
            let changes: Vec<Patch> = self.set.iter().chain(&sampled.changes).cloned().collect();
            self.texts.scenario(&changes)?
        };
        Ok(scenario.with_draws(&sampled.chance, &sampled.faults, self.ample))
    }

    /// Runs one job with what was sampled for it; none if it was to stop.
    ///
    /// # Errors
    /// The scenario cannot be with what was sampled, or the job broke an invariant.
    pub fn one(
        &self,
        number: u64,
        sampled: Sampled,
        until_s: i64,
        stop: &dyn Fn() -> bool,
    ) -> Result<Option<(Replicate, Ledger)>, Failed> {
        let scenario = self.scenario(&sampled).map_err(|bad| Failed {
            job: number,
            why: bad
                .all
                .first()
                .map_or_else(String::new, |c| c.wrong.to_string()),
        })?;
        let scenario = Arc::new(scenario);
        let mut tally = Tally::new(number, &scenario, &self.gases);
        let mut job = Job::new(scenario, Options::default());
        let mut planner = JobPlanner::wanted(job.scenario());
        let mut at_present_mol = Vec::new();
        let mut halt = Halt::Reached;
        while halt == Halt::Reached && job.now() < until_s {
            if stop() {
                return Ok(None);
            }
            let ahead = self.present_s.filter(|p| *p > job.now()).unwrap_or(until_s);
            let to_s = (job.now() + STRETCH_S).min(until_s).min(ahead);
            halt = job.advance_planned(to_s, &mut tally, &mut planner);
            if self.present_s == Some(job.now()) {
                let left = |gas: &Gas| {
                    gas.banks
                        .iter()
                        .map(|b| job.plant().bank_moles(*b, job.now()))
                        .sum()
                };
                at_present_mol = self.gases.iter().map(left).collect();
            }
        }
        if let Some(fault @ Ended::BelowZero(_)) = job.ended() {
            let why = fault.words(job.scenario());
            return Err(Failed { job: number, why });
        }
        let job = job.finish(&mut tally);
        let (mut made, ledger) = tally.done(&job, self.days());
        made.draws = sampled.draws;
        made.at_present_mol = at_present_mol;
        for (draw, source) in made.draws.iter_mut().zip(&self.sources) {
            if source.varied == Varied::Chance(deepstay_scenario::Chance::Weather) {
                *draw = made.weather_s as f64 / 3600.0;
            }
        }
        burn(&self.base, &self.gases, self.present_s, &mut made);
        Ok(Some((made, ledger)))
    }

    /// The job with every input as the scenario has it, through the same path: its ledger is that of a run.
    ///
    /// # Errors
    /// None that a loaded scenario gives.
    pub fn base_job(&self, stop: &dyn Fn() -> bool) -> Result<Option<(Replicate, Ledger)>, Failed> {
        self.one(0, Sampled::default(), i64::MAX, stop)
    }

    /// Runs the jobs of a range on the threads at hand; those not run when it is told to stop are missing.
    /// `done` hears of each job that is over.
    pub fn run(
        &self,
        jobs: Range<u64>,
        stop: &(dyn Fn() -> bool + Sync),
        done: &(dyn Fn() + Sync),
    ) -> (Vec<Replicate>, Vec<Failed>) {
        let one = |number: u64| {
            if stop() {
                return None;
            }
            let made = self.one(
                number,
                self.sampler.sample(&self.sources, number),
                i64::MAX,
                &|| stop(),
            );
            done();
            made.transpose()
        };
        let all: Vec<_> = jobs.par_bridge().filter_map(one).collect();
        let (mut made, mut failed) = (Vec::new(), Vec::new());
        for each in all {
            match each {
                Ok((replicate, _)) => made.push(replicate),
                Err(why) => failed.push(why),
            }
        }
        made.sort_by_key(|r: &Replicate| r.number);
        failed.sort_by_key(|f: &Failed| f.job);
        (made, failed)
    }
}

fn describe(source: &Source, sampled: &Sampled) -> String {
    let unit = match &source.varied {
        Varied::Input { unit, .. } => unit.as_str(),
        _ => "h",
    };
    let value = sampled.draws.first().copied().unwrap_or(0.0);
    format!("{} at {value:.4} {unit}", source.name)
        .trim_end()
        .to_owned()
}
