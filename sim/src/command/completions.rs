//! `deepstay completions`: what a shell asks to complete the command.

use super::exit::Exit;
use super::say;
use clap::CommandFactory;
use clap_complete::{Shell, generate};

/// Prints the completions of a shell: bash, zsh or fish
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Which shell
    shell: Which,
}

#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Which {
    /// To be read by `source <(deepstay completions bash)`
    Bash,
    /// To be put as _deepstay into a folder of fpath
    Zsh,
    /// To be put as deepstay.fish into ~/.config/fish/completions
    Fish,
}

pub fn act(arguments: &Arguments) -> Exit {
    let shell = match arguments.shell {
        Which::Bash => Shell::Bash,
        Which::Zsh => Shell::Zsh,
        Which::Fish => Shell::Fish,
    };
    let mut text = Vec::new();
    generate(
        shell,
        &mut super::Arguments::command(),
        "deepstay",
        &mut text,
    );
    match String::from_utf8(text) {
        Ok(text) => {
            let values = match arguments.shell {
                Which::Fish => fish_values(&super::Arguments::command()),
                Which::Bash | Which::Zsh => String::new(),
            };
            say::out((text + &values).trim_end())
        }
        Err(e) => say::not_written(format!("the completions could not be made: {e}")),
    }
}

/// Values of arguments without a flag, such as names of sums and topics, which the generator leaves out for fish.
fn fish_values(command: &clap::Command) -> String {
    let mut lines = String::new();
    for verb in command.get_subcommands() {
        let values = verb.get_positionals().flat_map(|a| a.get_possible_values());
        for value in values {
            let help = value.get_help().map_or(String::new(), |h| {
                format!("\\t'{}'", h.to_string().replace('\'', "\\'"))
            });
            lines.push_str(&format!(
                "complete -c deepstay -n \"__fish_deepstay_using_subcommand {}\" -f -a \"{}{help}\"\n",
                verb.get_name(),
                value.get_name()
            ));
        }
    }
    lines
}
