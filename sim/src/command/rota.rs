//! `rota`: who goes in the bell when, for the whole job: made, or read from a file and judged; under one
//! rule set or several; with its papers for people and programs.

use super::exit::Exit;
use super::interrupt;
use super::progress::Searching;
use super::rota_judge as judge;
use super::rota_replan as again;
use super::run::System;
use super::say;
use crate::plant::Activity;
use crate::report::{
    self, MadeBy, RotaInputs, RotaSummary, Subject, Under, check_rota_target, rota_screen,
    under_screen, write_rota,
};
use crate::rota::tired::{tired, watch_rest};
use crate::rota::{
    Asked, Binding, Event, Found, NoRota, Problem, Rota, Solution, Verdict, Worth, check,
    make_until, replan, sums, table,
};
use crate::scenario::{self, LARGEST_FILE, Scenario};
use clap::Args;
use std::io::Read;
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
    pub changes: again::Changes,
    /// Working time and days under pressure by another built-in rule set; pressing and coming up stay with the job's own.
    #[arg(long, value_name = "SET")]
    pub rules: Option<String>,
    /// Rows from memory that may be used, by their ids, beside those that the job accepts; they stay marked.
    #[arg(long, value_name = "ROW", num_args = 1..)]
    pub accept: Vec<String>,
    /// The same crew under these rule sets as well, side by side.
    #[arg(long, value_name = "SET", num_args = 1..)]
    pub against: Vec<String>,
    /// Most seconds to search; the best legal rota found by then is given.
    #[arg(long, value_name = "SECONDS", default_value_t = 30.0, value_parser = seconds)]
    pub time_limit: f64,
    /// Go on searching until no more than this many percent may be missing to the best there can be, within the time limit.
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

/// The rota at hand, however it came.
struct AtHand {
    problem: Problem,
    rota: Rota,
    made_by: MadeBy,
    verdict: Verdict,
    worth: Option<Worth>,
    binding: Vec<Binding>,
    remarks: Vec<String>,
}

impl AtHand {
    fn made(solution: Solution, verdict: Verdict, asked: &Asked) -> AtHand {
        AtHand {
            problem: asked.problem.clone(),
            rota: solution.rota,
            made_by: if solution.stopped {
                MadeBy::StoppedSearch
            } else {
                MadeBy::Search
            },
            verdict,
            worth: Some(solution.worth),
            binding: solution.binding,
            remarks: asked.notes.clone(),
        }
    }
}

/// Makes or judges it.
pub fn act(args: &Arguments) -> Exit {
    let scenario = match scenario::load(&args.scenario) {
        Ok(scenario) => scenario,
        Err(bad) => return say::complaints(&bad),
    };
    if let Some(out) = &args.out
        && let Err(e) = check_rota_target(out, args.replace)
    {
        say::err(&format!("deepstay: {e}"));
        return Exit::BadInput;
    }
    interrupt::catch();
    let accepted = [&scenario.accepted[..], &args.accept[..]].concat();
    let sets = || -> Result<(judge::Set, Vec<judge::Set>), String> {
        let own = match &args.rules {
            Some(name) => judge::set(name, &accepted)?,
            None => judge::Set::own(&scenario, &accepted),
        };
        let others: Result<Vec<_>, _> = args
            .against
            .iter()
            .map(|name| judge::set(name, &accepted))
            .collect();
        let others = others?;
        judge::known_rows(&args.accept, std::iter::once(&own).chain(&others))?;
        Ok((own, others))
    };
    let (set, others) = match sets() {
        Ok(sets) => sets,
        Err(words) => return bad_input(&words),
    };
    let asked = match judge::ask(&scenario, &set) {
        Ok(asked) => asked,
        Err(words) => return bad_input(&words),
    };
    let mut subject = Subject::from(&scenario);
    subject.rule_set = set.name.clone();
    let events = match again::events(&args.changes, subject.time, &asked.problem) {
        Ok(events) => events,
        Err(words) => return bad_input(&words),
    };
    let at_hand = match &args.check {
        Some(file) => read(file, &subject, &asked, &set),
        None => search(args, &asked, &set),
    };
    let at_hand = at_hand.and_then(|old| match &events {
        Some((now_s, events)) => planned_again(args, old, (*now_s, events), &subject, &set),
        None => Ok(old),
    });
    match at_hand {
        Ok(at_hand) => {
            let under = judge::against(
                &scenario,
                (&set, &others),
                judge::Against {
                    rota: &at_hand.rota,
                    worth: at_hand.worth,
                    events: events.as_ref().map(|(now_s, events)| (*now_s, &events[..])),
                },
                |found| go_on(args, found),
            );
            conclude(args, (&scenario, &subject), &set, &at_hand, &under)
        }
        Err(exit) => exit,
    }
}

/// Plans it again with what has come between.
fn planned_again(
    args: &Arguments,
    old: AtHand,
    (now_s, events): (i64, &[Event]),
    subject: &Subject,
    set: &judge::Set,
) -> Result<AtHand, Exit> {
    let new = replan(
        &old.rota,
        &old.problem,
        now_s,
        events,
        &set.rules,
        &set.accepted,
    )
    .map_err(|none| no_rota(&none))?;
    let from = args.changes.replan.clone().unwrap_or_default();
    let mut remarks = again::told(&new, &from, subject.time);
    remarks.extend(old.remarks);
    Ok(AtHand {
        problem: new.problem,
        rota: new.rota,
        made_by: MadeBy::PlannedAgain(from),
        verdict: new.verdict,
        worth: None,
        binding: Vec::new(),
        remarks,
    })
}

fn bad_input(words: &str) -> Exit {
    say::err(&format!("deepstay: {words}"));
    Exit::BadInput
}

/// A searching closure for one rule set.
fn go_on(args: &Arguments, words: &str) -> impl FnMut(&Found) -> bool + use<> {
    let searching = Searching::new(args.quiet || args.json, args.time_limit);
    let words = words.to_owned();
    move |found: &Found| {
        let h = |s: i64| s as f64 / 3600.0;
        searching.say(format!(
            "{words}: {} tries, {:.1} h of useful water, at most {:.1} h",
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

fn search(args: &Arguments, asked: &Asked, set: &judge::Set) -> Result<AtHand, Exit> {
    let found = make_until(
        &asked.problem,
        &set.rules,
        &set.accepted,
        args.gap,
        &mut go_on(args, &set.name),
    );
    match found {
        Ok(made) => Ok(AtHand::made(made.solution, made.verdict, asked)),
        Err(_) if interrupt::came() => {
            say::err("deepstay: interrupted before there was a legal rota");
            Err(Exit::Interrupted)
        }
        Err(none) => Err(no_rota(&none)),
    }
}

/// Says why there is no rota.
fn no_rota(none: &NoRota) -> Exit {
    let mut words = format!("deepstay: there is no legal rota: {}", none.words);
    for rule in &none.rules {
        words += &format!(
            "\n  {}: {} [{} ({})]",
            rule.id, rule.words, rule.source.document, rule.source.status
        );
    }
    for (i, relaxation) in none.relaxations.iter().enumerate() {
        let lead = if i == 0 { "help" } else { "or" };
        let rules: Vec<&str> = relaxation
            .changes
            .iter()
            .map(|c| c.rule.id.as_str())
            .collect();
        words += &format!("\n  {lead}: {} ({})", relaxation.words(), rules.join(", "));
    }
    words += match none.relaxations.is_empty() {
        true => "\n  no change of one figure, nor of two together, was found that helps",
        false => "\n  with each of these a legal rota was found, and with a step less none",
    };
    words += &format!("\n{}", report::CAUTION);
    say::err(&words);
    Exit::NotCompleted
}

/// Reads a rota and judges it.
fn read(file: &Path, subject: &Subject, asked: &Asked, set: &judge::Set) -> Result<AtHand, Exit> {
    let name = file.display().to_string();
    let bytes = match bytes(file) {
        Ok(bytes) => bytes,
        Err(words) => return Err(bad_input(&format!("{name}: {words}"))),
    };
    let read = table::read(&name, &bytes, subject.time, &asked.problem)
        .map_err(|bad| say::complaints(&bad))?;
    let verdict = check(&read.rota, &asked.problem, &set.rules, &set.accepted);
    let mut remarks = asked.notes.clone();
    remarks.extend(read.remarks);
    Ok(AtHand {
        problem: asked.problem.clone(),
        rota: read.rota,
        made_by: MadeBy::File(name),
        verdict,
        worth: None,
        binding: Vec::new(),
        remarks,
    })
}

/// A file, or standard input for `-`, no longer than any table of turns.
fn bytes(file: &Path) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    let most = LARGEST_FILE;
    let reading = if file.as_os_str() == "-" {
        std::io::stdin()
            .lock()
            .take(most + 1)
            .read_to_end(&mut bytes)
    } else {
        std::fs::File::open(file).and_then(|f| f.take(most + 1).read_to_end(&mut bytes))
    };
    reading.map_err(|e| format!("cannot be read: {e}"))?;
    if bytes.len() as u64 > most {
        return Err(format!(
            "is larger than {most} bytes, which no table of turns is"
        ));
    }
    Ok(bytes)
}

fn conclude(
    args: &Arguments,
    (scenario, subject): (&Scenario, &Subject),
    set: &judge::Set,
    at_hand: &AtHand,
    under: &[Under],
) -> Exit {
    let (problem, rota) = (&at_hand.problem, &at_hand.rota);
    let sums = sums(rota, problem);
    let days = problem.day(problem.last_s) - problem.day(problem.first_s);
    let provenance = judge::provenance(problem, &set.rules, &at_hand.verdict, &at_hand.binding);
    let (tired, watches) = (
        tired(problem, rota, scenario.plan.night_s),
        watch_rest(scenario.plan.handover_s, days),
    );
    let inputs = RotaInputs {
        subject,
        problem,
        rota,
        made_by: &at_hand.made_by,
        verdict: &at_hand.verdict,
        progress: &sums.progress,
        divers: &sums.divers,
        bells: &sums.bells,
        fairness: sums.fairness,
        worth: at_hand.worth,
        binding: &at_hand.binding,
        tired: &tired,
        watches: &watches,
        under,
        remarks: &at_hand.remarks,
        provenance: &provenance,
        work: scenario
            .plan
            .bell_runs
            .first()
            .map_or(Activity::WaterModerate, |r| r.work),
        night_s: scenario.plan.night_s,
        units: args.units.into(),
    };
    if let Some(out) = &args.out
        && let Err(e) = write_rota(out, &inputs, args.replace)
    {
        say::err(&format!("deepstay: {e}"));
        return Exit::NotCompleted;
    }
    let said = tell(args, &inputs);
    match said {
        Exit::Done if interrupt::came() => Exit::Interrupted,
        Exit::Done if !at_hand.verdict.legal() => Exit::LimitsCrossed,
        said => said,
    }
}

/// The summary on the screen or as JSON.
fn tell(args: &Arguments, inputs: &RotaInputs<'_>) -> Exit {
    if args.json {
        return match RotaSummary::of(inputs).json() {
            Ok(text) => say::out(&text),
            Err(e) => {
                say::err(&format!(
                    "deepstay: the summary could not be put into JSON: {e}"
                ));
                Exit::Fault
            }
        };
    }
    if args.quiet {
        return Exit::Done;
    }
    let mut words = rota_screen(inputs, 80).trim_end().to_owned();
    if !inputs.under.is_empty() {
        words += &format!("\n\n{}", under_screen(inputs));
    }
    if let Some(out) = &args.out {
        words += &format!("\n\nThe rota's papers are in {}", out.display());
    }
    say::out(&words)
}
