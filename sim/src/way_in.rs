//! The few calls that most journeys begin with; each is a line or two over the rooms, which offer the rest.

use crate::Error;
use crate::job::{Finished, Halt, Job, Options};
use crate::record::Sink;
use crate::rota::{Appraisal, Found, JobPlanner, JudgedBy, make, table};
use crate::scenario::{self, Scenario};
use std::sync::Arc;

/// Opens a scenario: a built-in job by its name, or a job's file by its path (a name has neither a dot nor a stroke
/// in it).
///
/// # Errors
/// [`Error::Written`]: everything found wrong with the files.
pub fn open(name: &str) -> Result<Scenario, Error> {
    Ok(scenario::load(name)?)
}

/// Runs a whole job: every entry goes to the sink, the closing amounts last. Where the plan says that runs which
/// are lost are planned anew, the rota does. [`Job::advance_to`] is for those who want to stop on the way, look,
/// or act, and [`Job::advance_planned`] for those who plan otherwise.
pub fn run(scenario: impl Into<Arc<Scenario>>, sink: &mut impl Sink) -> Finished {
    let mut job = Job::new(scenario.into(), Options::default());
    let mut planner = JobPlanner::wanted(job.scenario());
    while job.advance_planned(i64::MAX, sink, &mut planner) == Halt::Reached {}
    job.finish(sink)
}

/// Makes the bell-run rota of a scenario under its own rule set, and has it judged. `go_on` is asked after every
/// try; when it says no, the best legal rota so far is taken.
///
/// # Errors
/// [`Error::Refused`] where the rule set does not say how to press or come up as the plan does; [`Error::NoRota`]
/// where no rota keeps all rules.
pub fn make_rota(
    scenario: &Scenario,
    mut go_on: impl FnMut(&Found) -> bool,
) -> Result<Appraisal, Error> {
    let by = JudgedBy::own(scenario, &scenario.accepted);
    let asked = by.ask(scenario)?;
    let made = make(&asked.problem, &by.rules, &by.accepted, &mut go_on)?;
    Ok(Appraisal::made(made, &asked))
}

/// Judges a rota from the text of a table (CSV: diver, leave, return, role) under the scenario's own rule set. `name`
/// is what the table is called in errors.
///
/// # Errors
/// [`Error::Refused`] as for [`make_rota`]; [`Error::Written`] for what is wrong with the table.
pub fn judge_rota(scenario: &Scenario, name: &str, table: &[u8]) -> Result<Appraisal, Error> {
    let by = JudgedBy::own(scenario, &scenario.accepted);
    let asked = by.ask(scenario)?;
    let read = table::read(name, table, scenario.time(), &asked.problem)?;
    Ok(Appraisal::read(name.to_owned(), read, &asked, &by))
}

/// Opens a study of a scenario's gas, of which nothing was run yet.
///
/// # Errors
/// [`Error::Written`]: everything found wrong with the files, and with what the study draws.
#[cfg(feature = "study")]
pub fn open_study(name: &str) -> Result<crate::stock::Study, Error> {
    let texts = scenario::JobTexts::open(name, None)?;
    let ensemble = crate::stock::Ensemble::new(texts, Vec::new(), None, 1.0)?;
    Ok(crate::stock::Study::of(ensemble, None))
}
