//! `deepstay check`: reads a scenario and says what is wrong with it, what is in it, or what each failure of its spread
//! does.

mod effects;

use super::exit::Exit;
use super::run::System;
use super::say;
use crate::report::{PostedSummary, scenario_screen};
use crate::rota::Worked;
use crate::rules;
use crate::scenario::{self, DEFAULT_JOB, Diagnostics, JOBS, JobTexts, Wrong};
use crate::stock::Ensemble;
use crate::units::Units;
use crate::units::text::Duration;

/// Reads a scenario and says what is wrong with it, what is in it, or what its failures do
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A name from `deepstay list`, or the path of a job's file [default: six-man]
    scenario: Option<String>,

    /// Under another rule set than the job names: a built-in one by its name, or a file
    #[arg(long, value_name = "SET")]
    rules: Option<String>,

    /// The job named, or every built-in job, under every built-in rule set: runs, runs with the companion named, or
    /// refused and for which missing row
    #[arg(long, conflicts_with = "rules")]
    matrix: bool,

    /// What each failure of the spread does while nobody acts: what shows it first, what rings, when a limit is truly
    /// crossed and when somebody is hurt; calculated from one second of the job, with the failure and without. Ends
    /// with 0 whatever the table says; Ctrl-C prints what there is
    #[arg(long, conflicts_with = "matrix")]
    effects: bool,

    /// With --effects: the time of the job to try failures from, such as "1d 12:00"; otherwise a quarter of an hour
    /// into the first bell run's time in the water. Valves that stand open are waited for, half an hour at the most
    #[arg(long, value_name = "TIME", requires = "effects")]
    at: Option<Duration>,

    /// With --effects: how long a failure is followed at the most, up to "7 d"
    #[arg(long, value_name = "TIME", requires = "effects", default_value = "24 h", value_parser = within)]
    within: Duration,

    /// With --effects: units of readings
    #[arg(long, value_enum, requires = "effects", default_value_t = System::Metric)]
    units: System,
}

/// The longest that a failure is followed, s.
const LONGEST_S: i64 = 7 * 86_400;

fn within(text: &str) -> Result<Duration, String> {
    match text.parse::<Duration>() {
        Ok(d) if (1..=LONGEST_S).contains(&d.0) => Ok(d),
        Ok(_) => Err("a time from 1 s to 7 d".into()),
        Err(bad) => Err(bad.to_string()),
    }
}

impl Arguments {
    fn job(&self) -> &str {
        self.scenario.as_deref().unwrap_or(DEFAULT_JOB)
    }
}

pub fn act(arguments: &Arguments) -> Exit {
    if arguments.matrix {
        let only = arguments.scenario.as_deref();
        return match only.map(|job| JobTexts::open(job, None)) {
            Some(Err(bad)) => say::complaints(&bad),
            _ => say::out(&matrix(only)),
        };
    }
    if arguments.effects {
        return effects::act(arguments);
    }
    let read = || -> Result<Ensemble, Diagnostics> {
        // A study is tried as a stock study would: its ways lead somewhere, and its laws keep to what can be.
        let papers = JobTexts::open(arguments.job(), arguments.rules.as_deref())?;
        Ensemble::new(papers, Vec::new(), None, 1.0)
    };
    match read() {
        Ok(ensemble) => {
            let planned = Worked::plan_judged(&ensemble.base);
            let screen = scenario_screen(&ensemble, &planned, say::columns());
            let posted = PostedSummary::of_plan(&ensemble.base, Units::Metric);
            say::out(&screen).or_else(|| Exit::of_plan(&planned, &posted))
        }
        Err(bad) => say::complaints(&bad),
    }
}

/// A line a job and rule set, of one job or of all that are built in: whether it runs, with which companion, or is refused and why; and whether its plan keeps that
/// set's rules of working time.
pub fn matrix(only: Option<&str>) -> String {
    let sets = || rules::builtin_names();
    let companion = |set: &str| sets().find(|name| *name == format!("{set}-companion"));
    let companions: Vec<&str> = sets().filter_map(companion).collect();
    let mut lines = Vec::new();
    let jobs = only.map_or_else(
        || JOBS.iter().map(|job| job.name).collect(),
        |job| vec![job],
    );
    for job in jobs {
        for set in sets().filter(|set| !companions.contains(set)) {
            let alone = scenario::load_under(job, Some(set));
            let words = match (alone, companion(set)) {
                (Ok(scenario), _) => format!("runs{}", kept(&scenario)),
                (Err(bad), None) => format!("refused: {}", missing(&bad)),
                (Err(_), Some(with)) => match scenario::load_under(job, Some(with)) {
                    Ok(scenario) => format!("runs with companion {with}{}", kept(&scenario)),
                    Err(bad) => format!("refused, with companion {with} too: {}", missing(&bad)),
                },
            };
            lines.push(format!("{job:<11} {set:<15} {words}"));
        }
    }
    lines.join("\n")
}

/// Whether a plan keeps the rules of working time of its set.
fn kept(scenario: &scenario::Scenario) -> String {
    let planned = Worked::plan_judged(scenario);
    match (planned.breaches.len(), planned.breaches.first()) {
        (n, Some(first)) => format!(
            "; its plan breaks rules of working time, {n} breaches, first of {}",
            first.rule.id
        ),
        _ => String::new(),
    }
}

/// The rows that stand in the way of a job, or what else does.
fn missing(bad: &Diagnostics) -> String {
    let mut missing: Vec<String> = Vec::new();
    for c in &bad.all {
        match &c.wrong {
            Wrong::Unanswered { rows, .. } => missing.extend(rows.iter().cloned()),
            other => missing.push(other.to_string()),
        }
    }
    missing.sort();
    missing.dedup();
    missing.join(", ")
}
