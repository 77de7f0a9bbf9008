//! `deepstay check`: reads a scenario and says what is wrong with it, or what is in it.

use super::exit::Exit;
use super::say;
use crate::plant::Duty;
use crate::report::{self, StockInputs};
use crate::rules::{self, CAUTION};
use crate::scenario::{self, DEFAULT_JOB, Diagnostics, JOBS, JobTexts, Scenario, Source, Wrong};
use crate::stock::Ensemble;
use crate::units::{ATM_PA, BAR_PA, FreeReference, Moles};

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
        Ok(ensemble) => say::out(&summary(&ensemble.base, &ensemble.sources)),
        Err(bad) => say::complaints(&bad),
    }
}

fn summary(s: &Scenario, sources: &[Source]) -> String {
    let mut lines = vec![format!("{}: {}", s.name, s.title), String::new()];
    let warnings = [scenario::warnings(s), scenario::hidden_fills(s)].concat();
    if !warnings.is_empty() {
        lines.push("  WARNINGS".to_owned());
        lines.extend(warnings.iter().map(|w| format!("{:14}{w}", "")));
        lines.push(String::new());
    }
    let mut row = |name: &str, words: String| lines.push(format!("  {name:<12}{words}"));
    row("spread", s.steel.name.clone());
    let count = |n: usize, one: &str| {
        if n == 1 {
            format!("1 {one}")
        } else {
            format!("{n} {one}s")
        }
    };
    row(
        "",
        [
            count(s.steel.compartments.len(), "compartment"),
            count(s.steel.doors.len(), "door"),
            count(s.steel.instruments.len(), "instrument"),
        ]
        .join(", "),
    );
    row("rules", format!("{}: {}", s.rules.name, s.rules.title));
    if !s.accepted.is_empty() {
        row(
            "",
            format!(
                "accepted by this job though recalled or assumed: {}",
                s.accepted.join(", ")
            ),
        );
    }
    row(
        "site",
        format!(
            "work at {} msw, sea bed at {} msw",
            s.site.working_msw, s.site.seabed_msw
        ),
    );
    row(
        "plan",
        [
            count(s.crew.len(), "diver"),
            count(s.plan.levels.len(), "storage level"),
            count(s.plan.bell_runs.len(), "bell run"),
            count(s.plan.moves.len(), "move"),
            count(s.faults.len(), "planned fault"),
        ]
        .join(", "),
    );
    row(
        "gas loaded",
        "free gas at 15 degC and 1 bar, real gas in the bottles".to_owned(),
    );
    for (duty, m3) in loaded(s) {
        row("", format!("{:<12}{m3:>8.0} m3", format!("{duty:?}")));
    }
    row(
        "inputs",
        "without a public measurement, with their range".to_owned(),
    );
    for i in &s.inputs {
        let unit = if i.unit.is_empty() {
            String::new()
        } else {
            format!(" {}", i.unit)
        };
        row(
            "",
            format!(
                "{}: {:.3}{unit} ({:.3} to {:.3})",
                i.name, i.value, i.low, i.high
            ),
        );
    }
    if !sources.is_empty() {
        row(
            "study",
            "what a stock study draws anew for each job".to_owned(),
        );
        for source in sources {
            row(
                "",
                format!(
                    "{}: {} ({})",
                    source.name,
                    StockInputs::law(source),
                    source.source
                ),
            );
        }
    }
    lines.push(String::new());
    let found = match warnings.is_empty() {
        true => "Nothing wrong was found",
        false => "No error was found, and warnings stand above",
    };
    lines.push(format!("{found}. {CAUTION}"));
    report::folded(&lines, say::columns()).trim_end().to_owned()
}

/// Gas in the banks by duty, m3 of free gas.
fn loaded(s: &Scenario) -> Vec<(Duty, f64)> {
    let mut all: Vec<(Duty, f64)> = Vec::new();
    for b in &s.steel.banks {
        let moles = crate::gas::state::total_moles(
            &b.true_mix,
            b.fill_gauge_pa + ATM_PA,
            b.volume_m3,
            b.t_k,
        );
        let m3 = Moles(moles).free_m3(FreeReference::Bar15);
        debug_assert!(b.fill_gauge_pa < 1000.0 * BAR_PA);
        match all.iter_mut().find(|(duty, _)| *duty == b.duty) {
            Some((_, sum)) => *sum += m3,
            None => all.push((b.duty, m3)),
        }
    }
    all
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
