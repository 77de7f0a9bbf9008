//! `deepstay-viz`: parses what is asked for, and has it shown.

mod command;

use std::process::ExitCode;

fn main() -> ExitCode {
    command::run()
}
