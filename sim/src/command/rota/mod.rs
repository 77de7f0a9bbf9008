//! `rota`: who goes in the bell when, for the whole job: made, or read from a file and judged; under one
//! rule set or several; with its papers for people and programs.

mod replan;
mod tell;

use super::exit::Exit;
use super::progress::Searching;
use super::run::System;
use super::{interrupt, say};
use crate::report::{Subject, check_rota_target};
use crate::rota::{
    Against, Appraisal, Asked, Found, JudgedBy, NotAsked, against, known_rows, make_until, table,
};
use crate::scenario::{self, JobTexts, LARGEST_FILE, MadeFrom, Scenario};
use clap::Args;
use std::path::{Path, PathBuf};

/// Makes the bell-run rota of a job, or judges one from a file
///
/// For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
/// document, the company's approved manual and the licensed people on the job decide.
#[derive(Args, Debug)]
pub struct Arguments {
    /// Name from `list`, or path of a job's file.
    #[arg(default_value = scenario::DEFAULT_JOB)]
    pub scenario: String,
    /// Judge a rota from a CSV file (diver, leave, return, role) instead of making one; `-` reads standard input.
    #[arg(long, value_name = "FILE")]
    pub check: Option<PathBuf>,
    #[command(flatten)]
    pub changes: replan::Changes,
    /// Working time and days under pressure by another rule set, built in or a file; pressing and coming up stay with the job's own.
    #[arg(long, value_name = "SET")]
    pub rules: Option<String>,
    /// Rows from memory that may be used, by their ids, beside those that the job accepts; they stay marked.
    #[arg(long, value_name = "ROW", num_args = 1..)]
    pub accept: Vec<String>,
    /// The same crew under these rule sets as well, built in or files, side by side.
    #[arg(long, value_name = "SET", num_args = 1..)]
    pub against: Vec<String>,
    /// Most seconds to search; the best legal rota found by then is given.
    #[arg(long, value_name = "SECONDS", default_value_t = 30.0, value_parser = seconds)]
    pub time_limit: f64,
    /// Go on searching until the rota is at most this many percent short of the best there can be, within the time limit.
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    pub gap: Option<f64>,
    /// Folder for the table, the calendars, the page, the noticeboard and the summary.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write over a rota that is already in the folder.
    #[arg(long)]
    pub replace: bool,
    /// Units of the pages; rota.json is always metric.
    #[arg(long, value_enum, default_value_t = System::Metric)]
    pub units: System,
    /// Print the summary as JSON on standard output.
    #[arg(long)]
    pub json: bool,
    /// No progress, and no summary on the screen.
    #[arg(long, short)]
    pub quiet: bool,
}

fn seconds(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(s) if s > 0.0 && s <= 86_400.0 => Ok(s),
        Ok(_) => Err("a number of seconds above 0 and up to 86400, such as 10".into()),
        Err(_) => Err("not a number; seconds such as 10 or 0.5".into()),
    }
}

fn percent(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(p) if (0.0..=100.0).contains(&p) => Ok(p / 100.0),
        Ok(_) => Err("a percentage between 0 and 100, such as 1".into()),
        Err(_) => Err("not a number; percent such as 1 or 0.5".into()),
    }
}

/// Makes or judges it.
pub fn act(args: &Arguments) -> Exit {
    let texts = match JobTexts::open(&args.scenario, None) {
        Ok(texts) => texts,
        Err(bad) => return say::complaints(&bad),
    };
    let scenario = match texts.scenario(&[]) {
        Ok(scenario) => scenario,
        Err(bad) => return say::complaints(&bad),
    };
    if let Some(out) = &args.out
        && let Err(e) = check_rota_target(out, args.replace)
    {
        return say::bad_input(e);
    }
    rota(args, &scenario, texts.made_from()).unwrap_or_else(|exit| exit)
}

fn rota(args: &Arguments, scenario: &Scenario, made_from: Vec<MadeFrom>) -> Result<Exit, Exit> {
    let (by, others) = sets(args, scenario).map_err(say::bad_input)?;
    let asked = by.ask(scenario).map_err(say::bad_input)?;
    let mut subject = Subject::from(scenario);
    subject.rule_set = by.name.clone();
    subject.rules_taken = by.rules.taken_words();
    subject.accepted.clone_from(&by.accepted);
    subject.made_from = made_from;
    let events = replan::events(&args.changes, subject.time, &asked.problem);
    let events = events.map_err(say::bad_input)?;
    let mut appraisal = match &args.check {
        Some(file) => read(file, &subject, &asked, &by)?,
        None => search(args, &asked, &by)?,
    };
    if let (Some((now_s, events)), Some(from)) = (&events, &args.changes.replan) {
        appraisal = appraisal
            .replanned((*now_s, from), events, &by, subject.time)
            .map_err(|none| tell::no_rota(&none))?;
    }
    interrupt::at_work();
    let at_hand = Against {
        rota: &appraisal.rota,
        worth: appraisal.worth,
        events: events.as_ref().map(|(now_s, events)| (*now_s, &events[..])),
    };
    let under = against(scenario, (&by, &others), at_hand, |set| patience(args, set));
    Ok(tell::conclude(
        args,
        (scenario, &subject),
        &by,
        &appraisal,
        &under,
    ))
}

/// The rule set that the rota is made or judged by, and those it is set against.
fn sets(args: &Arguments, scenario: &Scenario) -> Result<(JudgedBy, Vec<JudgedBy>), NotAsked> {
    let accepted = [&scenario.accepted[..], &args.accept[..]].concat();
    let own = match &args.rules {
        Some(name) => JudgedBy::named(name, &accepted)?,
        None => JudgedBy::own(scenario, &accepted),
    };
    let others: Vec<JudgedBy> = args
        .against
        .iter()
        .map(|name| JudgedBy::named(name, &accepted))
        .collect::<Result<_, _>>()?;
    known_rows(&args.accept, std::iter::once(&own).chain(&others))?;
    Ok((own, others))
}

/// Goes on searching under one rule set until its time is up, and shows what there is so far.
fn patience(args: &Arguments, set: &str) -> impl FnMut(&Found) -> bool + use<> {
    let searching = Searching::new(args.quiet || args.json, args.time_limit);
    let set = set.to_owned();
    move |found: &Found| {
        let h = |s: i64| s as f64 / 3600.0;
        searching.say(format!(
            "{set}: {} tries, {:.1} h of useful water, at most {:.1} h",
            found.tried,
            h(found.useful_s),
            h(found.bound_s)
        ));
        let on = !interrupt::came() && !searching.over();
        if !on {
            searching.done();
        }
        on
    }
}

fn search(args: &Arguments, asked: &Asked, by: &JudgedBy) -> Result<Appraisal, Exit> {
    interrupt::at_work();
    let found = make_until(
        &asked.problem,
        &by.rules,
        &by.accepted,
        args.gap,
        &mut patience(args, &by.name),
    );
    match found {
        Ok(made) => Ok(Appraisal::made(made, asked)),
        Err(_) if interrupt::came() => Err(say::interrupted(
            "interrupted before there was a legal rota",
        )),
        Err(none) => Err(tell::no_rota(&none)),
    }
}

/// Reads a rota and judges it.
fn read(file: &Path, subject: &Subject, asked: &Asked, by: &JudgedBy) -> Result<Appraisal, Exit> {
    let name = file.display().to_string();
    let bytes = bytes(file).map_err(|words| say::bad_input(format!("{name}: {words}")))?;
    let read = table::read(&name, &bytes, subject.time, &asked.problem)
        .map_err(|bad| say::complaints(&bad))?;
    Ok(Appraisal::read(name, read, asked, by))
}

/// A file, or standard input for `-`, no longer than any table of turns.
fn bytes(file: &Path) -> Result<Vec<u8>, String> {
    let read = if file.as_os_str() == "-" {
        scenario::bytes_of(std::io::stdin().lock(), LARGEST_FILE)
    } else {
        scenario::file_bytes(file, LARGEST_FILE)
    };
    read.map_err(|wrong| wrong.to_string())
}
