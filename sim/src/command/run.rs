//! `run`: a whole job, from the first bottle opened to the last diver out, with its outputs.

use super::exit::Exit;
use super::interrupt;
use super::progress::Progress;
use super::say;
use crate::aside::write_aside;
use crate::job::{self, Finished, Halt, Harm, Job, Options};
use crate::record::Recorder;
use crate::report::{self, JobPapers, Summary};
use crate::rota::JobPlanner;
use crate::scenario::{self, JobTexts, Scenario, WholePresent};
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
    /// Under another rule set than the job names: a built-in one by its name, or a file.
    #[arg(long, value_name = "SET")]
    pub rules: Option<String>,
    /// Seed of every draw, instead of the scenario's own.
    #[arg(long)]
    pub seed: Option<u64>,
    /// Write the log every hour, not every half hour.
    #[arg(long)]
    pub hourly: bool,
    /// From today: go on from a present, a file of what gauges, analysers and head count say at one moment of this job
    /// (`new --kind present`). What one page cannot tell is assumed, and printed.
    #[arg(long, value_name = "FILE")]
    pub from: Option<PathBuf>,
    /// Write the present of this moment into a file on the way, as another would find it: vessel time, or time since
    /// the start.
    #[arg(long, num_args = 2, value_names = ["TIME", "FILE"])]
    pub write_present: Option<Vec<String>>,
    /// Stop after this many days, with all outputs up to there.
    #[arg(long, value_name = "DAYS", value_parser = days)]
    pub stop_after: Option<f64>,
    /// Go on when somebody has died, which otherwise ends the job.
    #[arg(long)]
    pub go_on: bool,
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
    let texts = match JobTexts::open(&args.scenario, args.rules.as_deref()) {
        Ok(texts) => texts,
        Err(bad) => return say::complaints(&bad),
    };
    let mut scenario = match texts.scenario(&[]) {
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
        return say::bad_input(e);
    }
    if !args.quiet {
        say::warnings(&scenario);
    }
    let scenario = Arc::new(scenario);
    let (present, page) = match (found(args, &scenario), page(args, &scenario)) {
        (Ok(present), Ok(page)) => (present, page),
        (Err(end), _) | (_, Err(end)) => return end,
    };
    interrupt::at_work();
    match simulate(args, &scenario, present.as_ref(), page.as_ref()) {
        Ok((job, record)) => {
            let papers = JobPapers::of(&job, &record, stopped()).made_from(texts.made_from());
            conclude(args, (&job, &record), &papers)
        }
        Err(end) => end,
    }
}

/// Why a job is over that did not come to its end.
fn stopped() -> &'static str {
    match interrupt::came() {
        true => "interrupted",
        false => "stopped after the time asked for",
    }
}

/// The present to go on from, where one is given.
fn found(args: &Arguments, scenario: &Scenario) -> Result<Option<WholePresent>, Exit> {
    let Some(path) = &args.from else {
        return Ok(None);
    };
    let present = scenario::whole_present(path, scenario).map_err(|bad| say::complaints(&bad))?;
    let stops_s = args.stop_after.map(|d| (d * 86_400.0) as i64);
    if stops_s.is_some_and(|stops_s| stops_s <= present.at_s) {
        let words =
            "--stop-after: days are counted from the start of the job, and the present is later";
        return Err(say::bad_input(words));
    }
    Ok(Some(present))
}

/// When a present is to be written, and where.
struct Page {
    at_s: i64,
    file: PathBuf,
}

fn page(args: &Arguments, scenario: &Scenario) -> Result<Option<Page>, Exit> {
    let Some([time, file]) = args.write_present.as_deref() else {
        return Ok(None);
    };
    let at_s = scenario::second_of(time, scenario)
        .map_err(|bad| say::bad_input(format!("--write-present {time}: {bad}")))?;
    let file = PathBuf::from(file);
    if !args.replace && file.exists() {
        return Err(say::bad_input(format!(
            "{} is there; with --replace it is written over",
            file.display()
        )));
    }
    Ok(Some(Page { at_s, file }))
}

/// Writes the page of a job as it stands, and says so where nobody could go on from it.
fn write_page(page: &Page, job: &Job, replace: bool) -> Result<(), Exit> {
    let text = job::page(job);
    write_aside(&page.file, text.as_bytes(), replace).map_err(say::not_written)?;
    let name = page.file.display().to_string();
    let read = scenario::whole_present_from_text(&text, &name, job.scenario());
    if let Some(first) = read.err().and_then(|bad| bad.all.into_iter().next()) {
        say::err(&format!(
            "deepstay: warning: {name} is written, and a job cannot be taken up from it: {}",
            first.wrong
        ));
    }
    Ok(())
}

fn simulate(
    args: &Arguments,
    scenario: &Arc<Scenario>,
    present: Option<&WholePresent>,
    page: Option<&Page>,
) -> Result<(Finished, Recorder), Exit> {
    let mut record = Recorder::new(scenario.start_second_of_day);
    let harm = match args.go_on {
        true => Harm::GoesOn,
        false => Harm::EndsJob,
    };
    let options = Options::default().leap(!args.no_leap).harm(harm);
    let mut job = match present {
        Some(present) => Job::from_present(scenario.clone(), present, options),
        None => Job::new(scenario.clone(), options),
    };
    let mut planner = JobPlanner::wanted(scenario);
    let mut to_write = page.filter(|page| page.at_s >= job.now());
    let last_s = args.stop_after.map_or(i64::MAX, |d| (d * 86_400.0) as i64);
    let progress = Progress::new(args.quiet || args.json, scenario.plan.end_s.min(last_s));
    while job.now() < last_s && !interrupt::came() {
        let to_s = to_write.map_or(last_s, |page| page.at_s.min(last_s));
        let until_s = (job.now() + STRETCH_S).min(to_s);
        let halt = job.advance_planned(until_s, &mut record, &mut planner);
        progress.at(job.now());
        if let Some(page) = to_write.filter(|page| page.at_s <= job.now()) {
            write_page(page, &job, args.replace)?;
            to_write = None;
        }
        if let Halt::Ended(_) = halt {
            break;
        }
    }
    progress.done();
    if let Some(page) = to_write {
        let time = scenario.time().clock(page.at_s);
        say::err(&format!(
            "deepstay: warning: no present was written: the job was not under way at {time}"
        ));
    }
    Ok((job.finish(&mut record), record))
}

fn conclude(args: &Arguments, (job, record): (&Finished, &Recorder), papers: &JobPapers) -> Exit {
    let inputs = papers.inputs(record, args.units.into());
    let summary = Summary::of(&inputs);
    if let Some(out) = &args.out
        && let Err(e) = report::write_all(out, &inputs, args.replace)
    {
        return say::not_written(e);
    }
    tell(args, &summary).or_else(|| Exit::of_job(job.ended(), &summary, interrupt::came()))
}

/// The summary on the screen or as JSON.
fn tell(args: &Arguments, summary: &Summary) -> Exit {
    if args.json {
        return say::json(summary.json());
    }
    if args.quiet {
        return Exit::Done;
    }
    let mut words = report::screen(summary, say::columns())
        .trim_end()
        .to_owned();
    if let Some(out) = &args.out {
        words += &format!("\n\nReport and tables are in {}", out.display());
    }
    say::out(&words)
}
