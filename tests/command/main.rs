//! The command as a user types it: what it prints, where, and how it ends.

mod check;
mod effects;
mod endless;
mod examples;
mod explain;
mod faults;
mod hand_sums;
mod list;
mod manual;
mod new;
mod outside_text;
mod page;
mod present;
mod rota;
mod rota_bad;
mod rota_paper;
mod rota_used;
mod run;
mod schema;
mod stock;
mod stock_bad;
mod stock_share;
mod sums;
mod terminal;
mod thousand;
mod usage;
mod walk;
mod watch;
mod whole;
mod worst;

use assert_cmd::Command;

/// The command in a folder of its own.
fn deepstay(folder: &tempfile::TempDir) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_deepstay"));
    command.current_dir(folder.path());
    command
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}

/// Exit code, standard output, standard error.
fn run(folder: &tempfile::TempDir, arguments: &[&str]) -> (i32, String, String) {
    let output = deepstay(folder)
        .args(arguments)
        .output()
        .expect("the command starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
    (
        output.status.code().expect("a code"),
        text(output.stdout),
        text(output.stderr),
    )
}
