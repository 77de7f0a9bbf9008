//! `deepstay check`: reads a scenario and says what is wrong with it, or what is in it.

use super::exit::Exit;
use super::say;
use crate::report::scenario_screen;
use crate::rules;
use crate::scenario::{self, DEFAULT_JOB, Diagnostics, JOBS, JobTexts, Wrong};
use crate::stock::Ensemble;

/// Reads a scenario and says what is wrong with it, or what is in it
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A name from `deepstay list`, or the path of a job's file
    #[arg(default_value = DEFAULT_JOB)]
    scenario: String,

    /// Under another built-in rule set than the job names
    #[arg(long, value_name = "SET")]
    rules: Option<String>,

    /// Every built-in job under every built-in rule set: loads, or refused and for which missing row
    #[arg(long, conflicts_with_all = ["scenario", "rules"])]
    matrix: bool,
}

pub fn act(arguments: &Arguments) -> Exit {
    if arguments.matrix {
        return say::out(&matrix());
    }
    let read = || -> Result<Ensemble, Diagnostics> {
        // A study is tried as a stock study would: its ways lead somewhere, and its laws keep to what can be.
        let papers = JobTexts::open(&arguments.scenario, arguments.rules.as_deref())?;
        Ensemble::new(papers, Vec::new(), None, 1.0)
    };
    match read() {
        Ok(ensemble) => say::out(&scenario_screen(&ensemble, say::columns())),
        Err(bad) => say::complaints(&bad),
    }
}

/// A line a job and rule set.
pub fn matrix() -> String {
    let mut lines = Vec::new();
    for job in JOBS {
        for set in rules::builtin_names() {
            let words = match scenario::load_under(job.name, Some(set)) {
                Ok(_) => "loads".to_owned(),
                Err(bad) => {
                    let mut missing: Vec<String> = Vec::new();
                    for c in &bad.all {
                        match &c.wrong {
                            Wrong::Unanswered { rows, .. } => missing.extend(rows.iter().cloned()),
                            other => missing.push(other.to_string()),
                        }
                    }
                    missing.sort();
                    missing.dedup();
                    format!("refused: {}", missing.join(", "))
                }
            };
            lines.push(format!("{:<12}{set:<16}{words}", job.name));
        }
    }
    lines.join("\n")
}
