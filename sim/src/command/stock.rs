//! `stock`: how much gas to load, how sure that is, when to send for more, and which assumption matters
//! most: an ensemble of whole jobs, and what is made of it.

use super::exit::Exit;
use super::interrupt;
use super::progress::Counted;
use super::run::System;
use super::stock_from::{self, Look};
use super::stock_share as share;
use super::{say, stock_answer};
use crate::report::{self, WhatIf};
use crate::scenario::{self, Diagnostics, JobTexts, Patch, To};
use crate::stock::{self, Ensemble, Failed, Head, Merged, Replicate};
use clap::Args;
use std::ops::Range;
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
    #[arg(long, value_name = "N|A..B", default_value = "100", value_parser = share::jobs)]
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
    /// As if every bank had so many times its bottles, so that no demand is cut short.
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

/// Which jobs of the endless row that a seed gives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Jobs(pub Range<u64>);

fn ample(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(n) if (1.0..=1000.0).contains(&n) => Ok(n),
        Ok(_) => Err("a number from 1 to 1000, such as 10".into()),
        Err(_) => Err("not a number; times such as 10".into()),
    }
}

/// Everything that was run.
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
    /// What each source does alone, gas by gas, and the demand without.
    pub alone: Option<(Vec<Vec<stock::OneAtATime>>, Vec<f64>)>,
    /// What if.
    pub what_if: Option<WhatIf>,
    /// A look at the present.
    pub look: Option<Look>,
}

/// Runs it.
pub fn act(args: &Arguments) -> Exit {
    if let Some(out) = &args.out
        && let Err(e) = report::check_stock_target(out, args.replace)
    {
        return bad_input(&e.to_string());
    }
    if let Some(file) = &args.save
        && let Err(e) = share::check(file, args.replace)
    {
        return bad_input(&e.to_string());
    }
    interrupt::catch();
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(args.threads.map_or(0, usize::from))
        .build();
    let pool = match pool {
        Ok(pool) => pool,
        Err(e) => return bad_input(&format!("the threads could not be started: {e}")),
    };
    match pool.install(|| study(args)) {
        Ok(study) => stock_answer::conclude(args, &study),
        Err(exit) => exit,
    }
}

/// Says what was bad, and the code of it.
pub fn bad_input(words: &str) -> Exit {
    say::err(&format!("deepstay: {words}"));
    Exit::BadInput
}

fn complained(bad: &Diagnostics) -> Exit {
    say::complaints(bad)
}

fn study(args: &Arguments) -> Result<Study, Exit> {
    let set = args
        .set
        .iter()
        .map(|text| change(text))
        .collect::<Result<Vec<Patch>, String>>()
        .map_err(|e| bad_input(&e))?;
    let mut ensemble = ensemble(args, Vec::new(), args.seed)?;
    for warning in scenario::warnings(&ensemble.base)
        .into_iter()
        .filter(|_| !args.quiet)
    {
        say::err(&format!("deepstay: warning: {warning}"));
    }
    stock_answer::can_be_answered(args, &ensemble)?;
    if !args.merge.is_empty() {
        let head = Head::of(&ensemble, env!("CARGO_PKG_VERSION"), 0);
        let Merged {
            asked,
            jobs,
            failed,
        } = share::merge(&args.merge, &head).map_err(|e| bad_input(&e))?;
        let alone = alone(args, &ensemble);
        return Ok(Study {
            ensemble,
            head,
            asked,
            jobs,
            failed,
            alone,
            what_if: None,
            look: None,
        });
    }
    // What was set is tried before the first job is run.
    let changed = if set.is_empty() {
        None
    } else {
        Some(self::ensemble(args, set, Some(ensemble.seed()))?)
    };
    let look = match &args.from {
        Some(path) => Some(stock_from::look(args, path, &mut ensemble)?),
        None => None,
    };
    let head = Head::of(
        &ensemble,
        env!("CARGO_PKG_VERSION"),
        look.as_ref().map_or(0, |l| l.fingerprint),
    );
    let (jobs, failed) = run(args, &ensemble, "jobs");
    if let Some(file) = &args.save {
        share::save(
            file,
            &head,
            &args.replicates.0,
            (&jobs, &failed),
            args.replace,
        )
        .map_err(|e| {
            say::err(&format!("deepstay: {e}"));
            Exit::NotCompleted
        })?;
    }
    let what_if = changed.map(|changed| {
        let (with, _) = run(args, &changed, "jobs with what is set");
        stock_answer::what_if(args, (&ensemble, &jobs), (&changed, &with))
    });
    let alone = alone(args, &ensemble);
    let asked = (args.replicates.0.start, args.replicates.0.end);
    Ok(Study {
        ensemble,
        head,
        asked,
        jobs,
        failed,
        alone,
        what_if,
        look,
    })
}

fn ensemble(args: &Arguments, set: Vec<Patch>, seed: Option<u64>) -> Result<Ensemble, Exit> {
    let papers = JobTexts::open(&args.scenario, None).map_err(|bad| complained(&bad))?;
    Ensemble::new(papers, set, seed, args.ample).map_err(|bad| complained(&bad))
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

fn run(args: &Arguments, ensemble: &Ensemble, what: &str) -> (Vec<Replicate>, Vec<Failed>) {
    let range = args.replicates.0.clone();
    let counted = Counted::new(args.quiet || args.json, range.end - range.start, what);
    let made = ensemble.run(range, &interrupt::came, &|| counted.one());
    counted.done();
    made
}

fn alone(args: &Arguments, ensemble: &Ensemble) -> Option<(Vec<Vec<stock::OneAtATime>>, Vec<f64>)> {
    if args.no_alone || interrupt::came() || ensemble.sources.is_empty() {
        return None;
    }
    let counted = Counted::new(
        args.quiet || args.json,
        1 + 2 * ensemble.sources.len() as u64,
        "one assumption at a time",
    );
    let made = stock::one_at_a_time(ensemble, &interrupt::came, &|| counted.one());
    counted.done();
    made
}
