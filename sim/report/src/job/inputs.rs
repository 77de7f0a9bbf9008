//! What a job's report is made of: the record of its run, the names of the things in it, the rules and
//! limits that were in force, and how it ended.

use super::posted::PostedSummary;
use crate::provenance::ProvenanceRow;
use crate::subject::Subject;
use crate::working::WorkingTimeSummary;
use deepstay_core::record::{LimitName, Recorder};
use deepstay_core::units::Units;
use deepstay_core::words::Names;
use deepstay_job::TakenUp;
use deepstay_rota::{Verdict, WorkDone};
use deepstay_stock::PlannedGas;

/// The largest residual of the ledger, relative to the moles handled, that counts as closed.
pub const LEDGER_TOLERANCE: f64 = 1e-9;

/// A limit that was in force for a compartment over a stretch of time.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitBand {
    /// Which limit.
    pub name: LimitName,
    /// Value in the unit of the quantity.
    pub value: f64,
    /// From when, s.
    pub from_s: i64,
    /// Until when, s.
    pub to_s: i64,
    /// What it is called.
    pub label: String,
    /// Document and status, as one line.
    pub source: String,
}

/// How the run ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Whether the job was gone through to its end.
    pub complete: bool,
    /// Whether an invariant of the program was broken: then nothing here can be believed.
    pub broken: bool,
    /// The last second of the run.
    pub ended_s: i64,
    /// Why it ended, in plain words.
    pub reason: String,
    /// How many seconds of plant time were evaluated one by one.
    pub seconds_evaluated: u64,
    /// The present that it was taken up from, and what was assumed; none of a job that began at second 0.
    pub taken_up: Option<TakenUp>,
    /// What came of the work list.
    pub work: WorkDone,
    /// What the plan would draw from each bank, by hand sums.
    pub planned_gas: Vec<PlannedGas>,
}

impl Outcome {
    /// The first second of the run.
    pub fn from_s(&self) -> i64 {
        self.taken_up.as_ref().map_or(0, |taken_up| taken_up.at_s)
    }
}

/// Everything a report is made of.
#[derive(Clone, Copy, Debug)]
#[non_exhaustive]
pub struct Inputs<'a> {
    /// Names and settings.
    pub subject: &'a Subject,
    /// The record of the run.
    pub record: &'a Recorder,
    /// How it ended.
    pub outcome: &'a Outcome,
    /// What the judge says of the working time that was lived.
    pub working: &'a Verdict,
    /// What is posted, metric.
    pub posted: &'a PostedSummary,
    /// The same with its words in the page's units.
    pub posted_shown: &'a PostedSummary,
    /// Every rule figure that was used.
    pub provenance: &'a [ProvenanceRow],
    /// Every limit that was in force.
    pub limits: &'a [LimitBand],
    /// Which units the page and the tables speak in. `job.json` is always metric.
    pub units: Units,
}

impl Inputs<'_> {
    /// What the judge says of the working time that was lived, as it is told.
    pub(crate) fn working_time(&self) -> WorkingTimeSummary {
        let initials = |diver| self.subject.initials(diver);
        WorkingTimeSummary::of(self.working, self.subject.time, initials).with_figures(self.working)
    }
}
