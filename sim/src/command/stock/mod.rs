//! `stock`: how much gas to load, how sure that is, when to send for more, and which assumption matters
//! most: an ensemble of whole jobs, and what is made of it.

mod evacuation;
mod forecast;
mod jobs;
mod present;
mod tell;

use super::exit::Exit;
use super::progress::Counted;
use super::run::System;
use super::{interrupt, say};
use crate::aside::check_aside;
use crate::report;
use crate::scenario::{self, JobTexts, Patch, To};
use crate::stock::{Basis, Ensemble, Study, merge_files, on_threads};
use clap::Args;
use jobs::Jobs;
use std::path::PathBuf;

/// Sizes the stock of gas by an ensemble of whole jobs
///
/// For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
/// document, the company's approved manual and the licensed people on the job decide.
#[derive(Args, Debug)]
pub struct Arguments {
    /// Name from `list`, or path of a job's file.
    #[arg(default_value = scenario::DEFAULT_JOB)]
    pub scenario: String,
    /// How many jobs to simulate, or which: 200, or 0..50 for the first fifty.
    #[arg(long, value_name = "N|A..B", default_value = "100", value_parser = jobs::read)]
    pub replicates: Jobs,
    /// Seed of what is drawn, instead of the scenario's own.
    #[arg(long)]
    pub seed: Option<u64>,
    /// Folder for the page, the tables, the workbook and the sheet to post.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write over a study that is already in the folder.
    #[arg(long)]
    pub replace: bool,
    /// Set an input to another value, and tell the difference to the scenario as it is: stock.reclaim.recovery=0.8.
    #[arg(long, value_name = "INPUT=VALUE")]
    pub set: Vec<String>,
    /// Rule sets whose minimum stocks are reckoned: one, or two side by side.
    #[arg(long, value_name = "SET", num_args = 1..=2)]
    pub reserve: Vec<String>,
    /// A supplier's list: a built-in one by its name, or a file.
    #[arg(long, value_name = "LIST")]
    pub supplier: Option<String>,
    /// From today: how the job stands, from a file, or a table of gauges (CSV) with --at.
    #[arg(long, value_name = "PRESENT", conflicts_with = "set")]
    pub from: Option<PathBuf>,
    /// The last day of a table of gauges that counts, such as "9 d"; its last line where not given.
    #[arg(long, value_name = "TIME", requires = "from")]
    pub at: Option<String>,
    /// When the next boat comes, since the start of the job, such as "14 d".
    #[arg(long, value_name = "TIME", requires = "from")]
    pub boat: Option<String>,
    /// How long people would live in the evacuation unit from the present: hours of oxygen, absorbent, gas and warmth, with
    /// what goes along by the page (evacuation: ...); no job is run. Ends with 1 where one of them ends before 72 h.
    #[arg(long, requires = "from", conflicts_with_all = ["out", "save", "merge", "reserve", "supplier", "boat"])]
    pub evacuation: bool,
    /// What each bank and gas holds from the present to the end by the plan, against the minimums that are posted: one
    /// job, every input as the scenario has it. Ends with 1 where a minimum is not held.
    #[arg(long, requires = "from", conflicts_with_all = ["evacuation", "out", "save", "merge", "supplier", "boat"])]
    pub forecast: bool,
    /// As if every bank had so many times its bottles, so that no job is stopped on minimum gas.
    #[arg(long, value_name = "TIMES", default_value_t = 1.0, value_parser = ample)]
    pub ample: f64,
    /// Leave out what each assumption does alone (two jobs for each).
    #[arg(long)]
    pub no_alone: bool,
    /// Keep the jobs in a file, to be merged with others.
    #[arg(long, value_name = "FILE")]
    pub save: Option<PathBuf>,
    /// Answer from jobs in these files instead of running any.
    #[arg(long, value_name = "FILE", num_args = 1.., conflicts_with_all = ["replicates", "save", "from", "set"])]
    pub merge: Vec<PathBuf>,
    /// Threads; as many as there are processors where not given. The answer does not hang on it.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Units of pages and tables; stock.json and the workbook are metric.
    #[arg(long, value_enum, default_value_t = System::Metric)]
    pub units: System,
    /// Print the summary as JSON on standard output.
    #[arg(long)]
    pub json: bool,
    /// No progress, and no summary on the screen.
    #[arg(long, short)]
    pub quiet: bool,
}

fn ample(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(n) if (1.0..=1000.0).contains(&n) => Ok(n),
        Ok(_) => Err("a number from 1 to 1000, such as 10".into()),
        Err(_) => Err("not a number; times such as 10".into()),
    }
}

/// Runs it.
pub fn act(args: &Arguments) -> Exit {
    if let (true, Some(path)) = (args.evacuation, &args.from) {
        return evacuation::act(args, path);
    }
    if let (true, Some(path)) = (args.forecast, &args.from) {
        return forecast::act(args, path);
    }
    if let Some(out) = &args.out
        && let Err(e) = report::check_stock_target(out, args.replace)
    {
        return say::bad_input(e);
    }
    if let Some(file) = &args.save
        && let Err(e) = check_aside(file, args.replace)
    {
        return say::bad_input(e);
    }
    match on_threads(args.threads.map(usize::from), || study(args)) {
        Ok(ended) => ended.unwrap_or_else(|exit| exit),
        Err(e) => say::bad_input(e),
    }
}

fn study(args: &Arguments) -> Result<Exit, Exit> {
    let set: Vec<Patch> = args
        .set
        .iter()
        .map(|text| change(text))
        .collect::<Result<_, _>>()
        .map_err(say::bad_input)?;
    let mut ensemble = ensemble(args, Vec::new(), args.seed)?;
    if !args.quiet {
        say::warnings(&ensemble.base);
    }
    let basis = Basis::of_scenario(&args.scenario)
        .reserve(&args.reserve)
        .supplier(args.supplier.as_deref());
    basis.check(&ensemble).map_err(tell::not_answered)?;
    let mut study = if args.merge.is_empty() {
        // What was set is tried before the first job is run.
        let changed = match set.is_empty() {
            true => None,
            false => Some(self::ensemble(args, set, Some(ensemble.seed()))?),
        };
        let underway = match &args.from {
            Some(path) => Some(present::underway(args, path, &mut ensemble)?),
            None => None,
        };
        let mut study = Study::of(ensemble, underway);
        let jobs = args.replicates.0.clone();
        let count = jobs.end - jobs.start;
        counted(args, count, "jobs", |done| {
            study.run(jobs, &interrupt::came, done);
        });
        if let Some(file) = &args.save {
            let saved = study.batch().save(file, args.replace);
            saved.map_err(say::not_written)?;
        }
        if let Some(changed) = &changed {
            counted(args, count, "jobs with what is set", |done| {
                study.what_if((&args.set, changed), &basis, &interrupt::came, done);
            });
        }
        study
    } else {
        let mut study = Study::of(ensemble, None);
        study.take(merge_files(&study.head, &args.merge).map_err(say::bad_input)?);
        study
    };
    if !args.no_alone {
        let count = study.jobs_alone();
        counted(args, count, "one assumption at a time", |done| {
            study.try_alone(&interrupt::came, done);
        });
    }
    tell::conclude(args, &study, &basis)
}

fn ensemble(args: &Arguments, set: Vec<Patch>, seed: Option<u64>) -> Result<Ensemble, Exit> {
    JobTexts::open(&args.scenario, None)
        .and_then(|texts| Ensemble::new(texts, set, seed, args.ample))
        .map_err(|bad| say::complaints(&bad))
}

/// Work on many threads under a bar that counts what is done.
fn counted<T>(
    args: &Arguments,
    of: u64,
    what: &str,
    work: impl FnOnce(&(dyn Fn() + Sync)) -> T,
) -> T {
    interrupt::at_work();
    let bar = Counted::new(args.quiet || args.json, of, what);
    let made = work(&|| bar.one());
    bar.done();
    made
}

/// An input and the value it is set to.
fn change(text: &str) -> Result<Patch, String> {
    let (way, value) = text
        .split_once('=')
        .filter(|(way, value)| !way.trim().is_empty() && !value.trim().is_empty())
        .ok_or_else(|| {
            format!("--set {text}: write INPUT=VALUE, such as stock.reclaim.recovery=0.8")
        })?;
    Ok(Patch {
        path: way.trim().to_owned(),
        to: To::Text(value.trim().to_owned()),
    })
}
