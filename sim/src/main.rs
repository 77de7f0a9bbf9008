//! The command `deepstay`: parse, call, exit code.

fn main() -> std::process::ExitCode {
    deepstay::command::main()
}
