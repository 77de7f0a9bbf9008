//! From a job that was run to what its papers are made of.

use super::inputs::{Inputs, LimitBand, Outcome};
use super::posted::PostedSummary;
use super::rests_on::limit_bands;
use super::write::write_all;
use crate::kit::folder::ReportError;
use crate::provenance::{ProvenanceRow, provenance, rows_of};
use crate::subject::Subject;
use crate::working;
use deepstay_core::record::Recorder;
use deepstay_core::units::Units;
use deepstay_job::{Ended, Finished};
use deepstay_rota::{Verdict, WorkDone, Worked};
use deepstay_scenario::MadeFrom;
use deepstay_stock::planned_gas;
use std::path::{Path, PathBuf};

/// All that a job's papers are made of beside its record: names, rule figures, limits, and how it ended.
#[derive(Clone, Debug)]
pub struct JobPapers {
    subject: Subject,
    outcome: Outcome,
    working: Verdict,
    /// Metric and imperial.
    posted: [PostedSummary; 2],
    provenance: Vec<ProvenanceRow>,
    limits: Vec<LimitBand>,
}

impl JobPapers {
    /// Of a job and its record, gone through to its end or stopped for the reason given.
    pub fn of(job: &Finished, record: &Recorder, stopped: &str) -> JobPapers {
        let scenario = job.scenario();
        let from_s = job.taken_up().map_or(0, |taken_up| taken_up.at_s);
        let (rules, accepted) = (&scenario.rules, &scenario.accepted);
        let lived = Worked::lived(scenario, record, job.planned_runs(), (from_s, job.now()));
        let posted = [Units::Metric, Units::Imperial].map(|units| {
            PostedSummary::of(scenario, record, lived.as_ref().ok(), (job.now(), units))
        });
        let working = lived.map_or_else(Verdict::not_judged, |lived| lived.judged(rules, accepted));
        let mut rows = provenance(scenario, &record.rule_rows);
        rows.extend(working::rows_beside(&rows, &working, rules));
        rows.extend(rows_of(&rows, &posted[0].rules(), rules));
        JobPapers {
            subject: Subject::from(scenario.as_ref()),
            outcome: Outcome {
                complete: job.ended() == Some(Ended::Surfaced),
                broken: matches!(job.ended(), Some(Ended::BelowZero(_))),
                ended_s: job.now(),
                reason: job
                    .ended()
                    .map_or_else(|| stopped.to_owned(), |ended| ended.words(scenario)),
                seconds_evaluated: job.plant().evaluations(),
                taken_up: job.taken_up().cloned(),
                work: WorkDone::of(scenario, job.planned_runs(), record.bell.runs()),
                planned_gas: planned_gas(scenario),
            },
            working,
            posted,
            provenance: rows,
            limits: limit_bands(scenario, record, job.now()),
        }
    }

    /// With the files that the scenario was made of, so that a figure's chain can name their lines.
    #[must_use]
    pub fn made_from(mut self, files: Vec<MadeFrom>) -> JobPapers {
        self.subject.made_from = files;
        self
    }

    /// As the pages take it, with the job's record, in units.
    pub fn inputs<'a>(&'a self, record: &'a Recorder, units: Units) -> Inputs<'a> {
        Inputs {
            subject: &self.subject,
            record,
            outcome: &self.outcome,
            working: &self.working,
            posted: &self.posted[0],
            posted_shown: &self.posted[usize::from(units == Units::Imperial)],
            provenance: &self.provenance,
            limits: &self.limits,
            units,
        }
    }

    /// Writes all papers into a folder; see [`write_all`].
    ///
    /// # Errors
    /// As [`write_all`].
    pub fn write(
        &self,
        dir: &Path,
        record: &Recorder,
        units: Units,
        replace: bool,
    ) -> Result<Vec<PathBuf>, ReportError> {
        write_all(dir, &self.inputs(record, units), replace)
    }
}
