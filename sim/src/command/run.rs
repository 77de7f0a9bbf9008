//! `run`: a whole job, from the first bottle opened to the last diver out, with its outputs.

use super::exit::Exit;
use super::interrupt;
use super::progress::Progress;
use super::say;
use super::sources;
use crate::job::{Ended, Finished, Halt, Job, Options};
use crate::record::Recorder;
use crate::report::{self, Inputs, Outcome, Subject, Summary};
use crate::scenario::{self, Scenario};
use crate::units::Units;
use clap::{Args, ValueEnum};
use std::path::PathBuf;
use std::sync::Arc;

/// Simulates a whole job: press, live, dive, decompress, surface
#[derive(Args, Debug)]
pub struct Arguments {
    /// Name from `list`, or path of a job's file.
    #[arg(default_value = scenario::DEFAULT_JOB)]
    pub scenario: String,
    /// Folder for job.json, the CSV files and report.html.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write over outputs that are already in the folder.
    #[arg(long)]
    pub replace: bool,
    /// Units of tables, report and screen; job.json is always metric.
    #[arg(long, value_enum, default_value_t = System::Metric)]
    pub units: System,
    /// Under another built-in rule set than the job names.
    #[arg(long, value_name = "SET")]
    pub rules: Option<String>,
    /// Seed of every draw, instead of the scenario's own.
    #[arg(long)]
    pub seed: Option<u64>,
    /// Write the log every hour, not every half hour.
    #[arg(long)]
    pub hourly: bool,
    /// Stop after this many days, with all outputs up to there.
    #[arg(long, value_name = "DAYS", value_parser = days)]
    pub stop_after: Option<f64>,
    /// Evaluate every second: the same log, slower; a check.
    #[arg(long)]
    pub no_leap: bool,
    /// Print the summary as JSON on standard output.
    #[arg(long)]
    pub json: bool,
    /// No progress, and no summary on the screen.
    #[arg(long, short)]
    pub quiet: bool,
}

/// Systems of units.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum System {
    /// msw, bar, degC, m3.
    Metric,
    /// fsw, ata, degF, ft3, psi.
    Imperial,
}

impl From<System> for Units {
    fn from(system: System) -> Units {
        match system {
            System::Metric => Units::Metric,
            System::Imperial => Units::Imperial,
        }
    }
}

fn days(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(d) if d > 0.0 && d <= 400.0 => Ok(d),
        Ok(_) => Err("a number of days above 0 and up to 400, such as 2.5".into()),
        Err(_) => Err("not a number; days such as 7 or 2.5".into()),
    }
}

/// Plant time between two looks at the progress bar and at an interrupt, s.
const STRETCH_S: i64 = 3 * 3600;

/// Runs it.
pub fn act(args: &Arguments) -> Exit {
    let mut scenario = match scenario::load_under(&args.scenario, args.rules.as_deref()) {
        Ok(scenario) => scenario,
        Err(bad) => return say::complaints(&bad),
    };
    if let Some(seed) = args.seed {
        scenario = scenario.with_seed(seed);
    }
    if args.hourly {
        scenario = scenario.with_hourly_log();
    }
    if let Some(out) = &args.out
        && let Err(e) = report::check_target(out, args.replace)
    {
        say::err(&format!("deepstay: {e}"));
        return Exit::BadInput;
    }
    if !args.quiet {
        for warning in scenario::warnings(&scenario) {
            say::err(&format!("deepstay: warning: {warning}"));
        }
    }
    interrupt::catch();
    let scenario = Arc::new(scenario);
    let (job, record) = simulate(args, &scenario);
    conclude(args, &scenario, &job, &record)
}

fn simulate(args: &Arguments, scenario: &Arc<Scenario>) -> (Finished, Recorder) {
    let mut record = Recorder::new(scenario.start_second_of_day);
    let mut job = Job::new(
        scenario.clone(),
        Options {
            leap: !args.no_leap,
            ..Options::default()
        },
    );
    let last_s = args.stop_after.map_or(i64::MAX, |d| (d * 86_400.0) as i64);
    let progress = Progress::new(args.quiet || args.json, scenario.plan.end_s.min(last_s));
    while job.now() < last_s && !interrupt::came() {
        let halt = job.advance_to((job.now() + STRETCH_S).min(last_s), &mut record);
        progress.at(job.now());
        if let Halt::Ended(_) = halt {
            break;
        }
    }
    progress.done();
    (job.finish(&mut record), record)
}

/// How it ended, in words, and the code it is worth before limits are looked at.
fn ending(job: &Job, scenario: &Scenario) -> (bool, String, Exit) {
    let initials = |d: crate::units::DiverId| scenario.crew[d.index()].initials.clone();
    match job.ended() {
        Some(Ended::Surfaced) => (true, "all divers at the surface".into(), Exit::Done),
        Some(Ended::PlanOver) => (
            false,
            "the plan's last second came before all divers were at the surface".into(),
            Exit::NotCompleted,
        ),
        Some(Ended::Hypoxia(d)) => (
            false,
            format!("{} breathed less oxygen than a body lives on", initials(d)),
            Exit::NotCompleted,
        ),
        Some(Ended::Hypercapnia(d)) => (
            false,
            format!(
                "{} breathed more carbon dioxide than a body stands",
                initials(d)
            ),
            Exit::NotCompleted,
        ),
        None if interrupt::came() => (false, "interrupted".into(), Exit::Interrupted),
        None => (false, "stopped after the time asked for".into(), Exit::Done),
    }
}

fn conclude(args: &Arguments, scenario: &Scenario, job: &Job, record: &Recorder) -> Exit {
    let (complete, reason, code) = ending(job, scenario);
    let outcome = Outcome {
        complete,
        ended_s: job.now(),
        reason,
        seconds_evaluated: job.plant().evaluations(),
    };
    let subject = Subject::from(scenario);
    let provenance = sources::provenance(scenario);
    let limits = sources::limit_bands(job);
    let units = args.units.into();
    let inputs = Inputs {
        subject: &subject,
        record,
        outcome: &outcome,
        provenance: &provenance,
        limits: &limits,
        units,
    };
    let summary = Summary::of(&inputs);
    if let Some(out) = &args.out
        && let Err(e) = report::write_all(out, &inputs, args.replace)
    {
        say::err(&format!("deepstay: {e}"));
        return Exit::NotCompleted;
    }
    let mut said = Exit::Done;
    if args.json {
        match summary.json() {
            Ok(text) => said = say::out(&text),
            Err(e) => {
                say::err(&format!(
                    "deepstay: the summary could not be put into JSON: {e}"
                ));
                return Exit::Fault;
            }
        }
    } else if !args.quiet {
        let mut words = report::screen(&summary, 80).trim_end().to_owned();
        if let Some(out) = &args.out {
            words += &format!("\n\nReport and tables are in {}", out.display());
        }
        said = say::out(&words);
    }
    match code {
        _ if said != Exit::Done => said,
        Exit::Done if summary.crossed_limits() => Exit::LimitsCrossed,
        code => code,
    }
}
