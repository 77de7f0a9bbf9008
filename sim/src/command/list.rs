//! `deepstay list`: what is built in.

use super::exit::Exit;
use super::say;
use crate::scenario::{DEFAULT_JOB, Kind};
use crate::watch::Beginning;

/// Lists what is built in: jobs, spreads, rule sets, suppliers' lists, figures of harm, voices, presents, tables of waves, beginnings of a watch
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Names alone, one a line
    #[arg(long)]
    names: bool,
}

pub fn act(arguments: &Arguments) -> Exit {
    let mut lines = Vec::new();
    for kind in Kind::ALL {
        let built_in = kind.built_in();
        if arguments.names {
            lines.extend(built_in.into_iter().map(|(name, _)| name.to_owned()));
            continue;
        }
        if !lines.is_empty() {
            lines.push(String::new());
        }
        lines.push(heading(kind).to_owned());
        for (name, title) in built_in {
            let default = match kind == Kind::Job && name == DEFAULT_JOB {
                true => " (taken where none is named)",
                false => "",
            };
            lines.push(format!("  {name:<17}{title}{default}"));
        }
    }
    if !arguments.names {
        lines.push(String::new());
        lines.push("Beginnings of a watch".to_owned());
        for b in Beginning::built_in() {
            lines.push(format!("  {:<22}{} {}: {}", b.name, b.job, b.at, b.what));
        }
    }
    say::out(&lines.join("\n"))
}

fn heading(kind: Kind) -> &'static str {
    match kind {
        Kind::Job => "Jobs",
        Kind::Spread => "Spreads",
        Kind::Rules => "Rule sets",
        Kind::Supplier => "Suppliers' lists",
        Kind::Harm => "How people fail",
        Kind::Voices => "What is said over the speaker",
        Kind::Present => "Presents",
        Kind::Weather => "Tables of waves",
    }
}
