//! One file per verb of the command line; here the arguments, and how a verb's end becomes an exit code.

mod check;
mod completions;
mod exit;
mod explain;
mod help;
mod interrupt;
mod list;
mod man;
mod new;
mod progress;
mod rota;
mod run;
mod say;
mod schema;
mod stock;
mod sums;
mod topics;
mod watch;

pub use exit::Exit;

use clap::{Parser, Subcommand};
use std::panic::{self, AssertUnwindSafe};
use std::process::ExitCode;

/// Simulates a whole saturation-diving job: the chambers, the gas, the bell runs and the decompression.
///
/// For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
/// document, the company's approved manual and the licensed people on the job decide.
#[derive(Debug, Parser)]
#[command(
    name = "deepstay",
    version,
    after_help = exit::TABLE,
    arg_required_else_help = true,
    disable_help_subcommand = true
)]
struct Arguments {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Run(run::Arguments),
    Rota(rota::Arguments),
    Stock(stock::Arguments),
    Sums(sums::Arguments),
    Watch(watch::Arguments),
    Explain(explain::Arguments),
    Check(check::Arguments),
    List(list::Arguments),
    New(new::Arguments),
    Schema(schema::Arguments),
    Man(man::Arguments),
    Completions(completions::Arguments),
    Help(help::Arguments),
}

/// The verbs by their names.
const VERBS: [&str; 13] = [
    "run",
    "rota",
    "stock",
    "sums",
    "watch",
    "explain",
    "check",
    "list",
    "new",
    "schema",
    "man",
    "completions",
    "help",
];

/// Runs the command and gives its exit code.
pub fn main() -> ExitCode {
    panic::set_hook(Box::new(|fault| {
        let at = fault
            .location()
            .map_or(String::new(), |l| format!(" ({}:{})", l.file(), l.line()));
        let words = fault.payload_as_str().unwrap_or("no words were left");
        say::err(&format!(
            "deepstay: a fault of the program itself, and no fault of yours: {words}{at}"
        ));
    }));
    interrupt::catch();
    let end = panic::catch_unwind(AssertUnwindSafe(|| match Arguments::try_parse() {
        Ok(arguments) => act(&arguments.verb),
        Err(error) => usage(&error),
    }));
    end.unwrap_or(Exit::BrokenInvariant).into()
}

fn act(verb: &Verb) -> Exit {
    match verb {
        Verb::Run(arguments) => run::act(arguments),
        Verb::Rota(arguments) => rota::act(arguments),
        Verb::Stock(arguments) => stock::act(arguments),
        Verb::Sums(arguments) => sums::act(arguments),
        Verb::Watch(arguments) => watch::act(arguments),
        Verb::Explain(arguments) => explain::act(arguments),
        Verb::Check(arguments) => check::act(arguments),
        Verb::List(arguments) => list::act(arguments),
        Verb::New(arguments) => new::act(arguments),
        Verb::Schema(arguments) => schema::act(arguments),
        Verb::Man(arguments) => man::act(arguments),
        Verb::Completions(arguments) => completions::act(arguments),
        Verb::Help(arguments) => help::act(arguments),
    }
}

/// Help and version are answers; anything else is bad input.
fn usage(error: &clap::Error) -> Exit {
    if error.use_stderr() {
        say::err(error.render().to_string().trim_end());
        Exit::BadInput
    } else {
        say::out(error.render().to_string().trim_end())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_verbs_are_those_of_the_command() {
        let command = Arguments::command();
        let names: Vec<&str> = command.get_subcommands().map(|c| c.get_name()).collect();
        assert_eq!(names, VERBS);
        Arguments::command().debug_assert();
    }
}
