//! `deepstay list`: what is built in.

use super::exit::Exit;
use super::say;
use crate::rules;
use crate::scenario::{DEFAULT_JOB, JOBS, SPREADS, SUPPLIERS, WEATHER};

/// Lists what is built in: jobs, spreads, rule sets, suppliers' lists, tables of waves
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Names alone, one a line
    #[arg(long)]
    names: bool,
}

pub fn act(arguments: &Arguments) -> Exit {
    let carried = |list: &[crate::scenario::BuiltIn]| -> Vec<(String, String)> {
        list.iter()
            .map(|b| (b.name.to_owned(), b.title.to_owned()))
            .collect()
    };
    let sets = rules::builtin_names()
        .map(|name| {
            (
                name.to_owned(),
                rules::builtin(name).map_or_else(|e| e.to_string(), |set| set.title),
            )
        })
        .collect();
    let mut jobs = carried(JOBS);
    for job in jobs
        .iter_mut()
        .filter(|job| job.0 == DEFAULT_JOB && !arguments.names)
    {
        job.1.push_str(" (taken where none is named)");
    }
    let mut lines = Vec::new();
    for (heading, rows) in [
        ("Jobs", jobs),
        ("Spreads", carried(SPREADS)),
        ("Rule sets", sets),
        ("Suppliers' lists", carried(SUPPLIERS)),
        ("Tables of waves", carried(WEATHER)),
    ] {
        if arguments.names {
            lines.extend(rows.into_iter().map(|(name, _)| name));
            continue;
        }
        if !lines.is_empty() {
            lines.push(String::new());
        }
        lines.push(heading.to_owned());
        lines.extend(
            rows.into_iter()
                .map(|(name, title)| format!("  {name:<17}{title}")),
        );
    }
    say::out(&lines.join("\n"))
}
