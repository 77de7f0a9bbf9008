//! `deepstay new`: a copy of something built in, remarks and all, to be changed.

use super::exit::Exit;
use super::say;
use crate::aside::write_aside;
use crate::scenario::{self, DEFAULT_JOB};
use std::path::{Path, PathBuf};

/// Writes a copy of a built-in job, spread, rule set, present or table, remarks and all, to be changed
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Name of the copy, or its path; the ending is added where it is missing
    name: PathBuf,

    /// What to copy, by its name in `deepstay list`
    #[arg(long, value_name = "BUILTIN", default_value = DEFAULT_JOB)]
    from: String,

    /// What kind of thing that is
    #[arg(long, value_enum, default_value_t = Kind::Job)]
    kind: Kind,

    /// Puts the copy in the place of a file that is there
    #[arg(long)]
    replace: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Kind {
    /// A job
    Job,
    /// A spread
    Spread,
    /// A rule set
    Rules,
    /// The figures by which people come to harm
    Harm,
    /// What is said over the speaker, unasked and when somebody is called
    Voices,
    /// A present: how a job stands at one moment, to go on from
    Present,
    /// A table of waves
    Weather,
}

impl From<Kind> for scenario::Kind {
    fn from(kind: Kind) -> scenario::Kind {
        match kind {
            Kind::Job => scenario::Kind::Job,
            Kind::Spread => scenario::Kind::Spread,
            Kind::Rules => scenario::Kind::Rules,
            Kind::Harm => scenario::Kind::Harm,
            Kind::Voices => scenario::Kind::Voices,
            Kind::Present => scenario::Kind::Present,
            Kind::Weather => scenario::Kind::Weather,
        }
    }
}

pub fn act(arguments: &Arguments) -> Exit {
    let kind = scenario::Kind::from(arguments.kind);
    let mut path = arguments.name.clone();
    if path.extension().is_none() {
        path.set_extension(kind.ending());
    }
    let stem = path.file_stem().and_then(|s| s.to_str());
    let Some(copy) = kind.copy(&arguments.from, stem.unwrap_or_default()) else {
        return say::bad_input(unknown(arguments));
    };
    if stem.is_none_or(str::is_empty) {
        return say::bad_input(format!(
            "\"{}\" is no name for a file",
            arguments.name.display()
        ));
    }
    match write_aside(&path, copy.as_bytes(), arguments.replace) {
        Ok(()) => say::out(&next(&path, arguments.kind)),
        Err(error) => say::bad_input(error),
    }
}

/// That nothing is built in of that name, and what may have been meant.
fn unknown(arguments: &Arguments) -> String {
    let kind = format!("{:?}", arguments.kind).to_lowercase();
    let built_in = scenario::Kind::from(arguments.kind).built_in();
    let known: Vec<&str> = built_in.iter().map(|(name, _)| *name).collect();
    let mut words = format!(
        "there is no built-in {kind} `{}`; there are {}",
        arguments.from,
        known.join(", ")
    );
    let far = |name: &str| strsim::osa_distance(name, &arguments.from);
    let near = known.iter().min_by_key(|name| far(name));
    if let Some(near) = near.filter(|name| far(name) <= 1 + name.len() / 3) {
        words.push_str(&format!("\n  help: did you mean `{near}`?"));
    }
    words
}

fn next(path: &Path, kind: Kind) -> String {
    let shown = path.display();
    let slash = if path.components().count() > 1 {
        ""
    } else {
        "./"
    };
    match kind {
        Kind::Job => format!("{shown} is written. Change it, then: deepstay check {slash}{shown}"),
        Kind::Present => format!(
            "{shown} is written. Put today's readings into it, then: deepstay run JOB --from {slash}{shown}"
        ),
        _ => format!("{shown} is written. A job beside it names it as \"{slash}{shown}\"."),
    }
}
