//! `deepstay new`: a copy of something built in, remarks and all, to be changed.

use super::exit::Exit;
use super::say;
use crate::rules;
use crate::scenario::{BuiltIn, DEFAULT_JOB, JOBS, SPREADS, WEATHER};
use deepstay_core::aside::write_aside;
use std::path::{Path, PathBuf};

/// Writes a copy of a built-in job, spread, rule set or table, remarks and all, to be changed
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
    /// A table of waves
    Weather,
}

pub fn act(arguments: &Arguments) -> Exit {
    let Some((text, ending)) = original(arguments.kind, &arguments.from) else {
        let known = known(arguments.kind);
        let near = known
            .iter()
            .min_by_key(|k| strsim::osa_distance(k, &arguments.from));
        let kind = format!("{:?}", arguments.kind).to_lowercase();
        let mut words = format!(
            "deepstay: there is no built-in {kind} `{}`; there are {}",
            arguments.from,
            known.join(", ")
        );
        if let Some(near) =
            near.filter(|k| strsim::osa_distance(k, &arguments.from) <= 1 + k.len() / 3)
        {
            words.push_str(&format!("\n  help: did you mean `{near}`?"));
        }
        say::err(&words);
        return Exit::BadInput;
    };
    let mut path = arguments.name.clone();
    if path.extension().is_none() {
        path.set_extension(ending);
    }
    let Some(stem) = path
        .file_stem()
        .and_then(|s| s.to_str())
        .filter(|s| !s.is_empty())
    else {
        say::err(&format!(
            "deepstay: \"{}\" is no name for a file",
            arguments.name.display()
        ));
        return Exit::BadInput;
    };
    let text = if arguments.kind == Kind::Weather {
        text.to_owned()
    } else {
        renamed(text, &arguments.from, stem)
    };
    match write_aside(&path, text.as_bytes(), arguments.replace) {
        Ok(()) => say::out(&next(&path, arguments.kind)),
        Err(error) => {
            say::err(&format!("deepstay: {error}"));
            Exit::BadInput
        }
    }
}

fn original(kind: Kind, name: &str) -> Option<(&'static str, &'static str)> {
    let of = |list: &'static [BuiltIn]| list.iter().find(|b| b.name == name).map(|b| b.text);
    match kind {
        Kind::Job => of(JOBS).map(|t| (t, "ron")),
        Kind::Spread => of(SPREADS).map(|t| (t, "ron")),
        Kind::Rules => rules::builtin_text(name).ok().map(|t| (t, "ron")),
        Kind::Weather => of(WEATHER).map(|t| (t, "csv")),
    }
}

fn known(kind: Kind) -> Vec<&'static str> {
    let of = |list: &'static [BuiltIn]| list.iter().map(|b| b.name).collect();
    match kind {
        Kind::Job => of(JOBS),
        Kind::Spread => of(SPREADS),
        Kind::Rules => rules::builtin_names().collect(),
        Kind::Weather => of(WEATHER),
    }
}

/// The copy carries its own name.
fn renamed(text: &str, old: &str, new: &str) -> String {
    let new: String = new
        .chars()
        .filter(|c| !c.is_control() && *c != '"' && *c != '\\')
        .collect();
    text.replacen(
        &format!("    name: \"{old}\","),
        &format!("    name: \"{new}\","),
        1,
    )
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
        _ => format!("{shown} is written. A job beside it names it as \"{slash}{shown}\"."),
    }
}
