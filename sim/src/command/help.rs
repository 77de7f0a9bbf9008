//! `deepstay help`: of a verb, or of a topic.

use super::exit::Exit;
use super::say;
use super::topics::Topic;
use crate::report::folded;
use clap::CommandFactory;
use clap::builder::{PossibleValue, PossibleValuesParser};

/// Help on a command, or on a topic: conventions, units, status, exit-codes
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A command or a topic
    #[arg(value_name = "COMMAND|TOPIC", value_parser = PossibleValuesParser::new(of_what()))]
    of: Option<String>,
}

/// Every topic and every command, with what it is about.
fn of_what() -> Vec<PossibleValue> {
    let topics = Topic::ALL.map(|topic| {
        let (name, words) = topic.words();
        PossibleValue::new(name).help(words)
    });
    let verbs = super::VERBS.map(PossibleValue::new);
    topics.into_iter().chain(verbs).collect()
}

pub fn act(arguments: &Arguments) -> Exit {
    let mut command = super::Arguments::command();
    let Some(of) = &arguments.of else {
        return say::out(command.render_long_help().to_string().trim_end());
    };
    if let Some(topic) = Topic::named(of) {
        return say::out(folded(&topic.lines(), say::columns()).trim_end());
    }
    command.build();
    match command.find_subcommand_mut(of) {
        Some(verb) => say::out(verb.render_long_help().to_string().trim_end()),
        None => say::bad_input(format!("there is no help on `{of}`")),
    }
}
