//! Speed of the hand sums and of the chain behind a figure, as a technician waits for them: the program is started, answers
//! and ends. Any sum takes less than 10 ms from the shell; a figure of a job of thirty days is explained within a second.
//!
//! `cargo bench -p deepstay --bench sums`

use deepstay::sums::sums;
use divan::{Bencher, black_box};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;

fn main() {
    divan::main();
    if let Some(folder) = JOB.get() {
        std::fs::remove_dir_all(folder).expect("there");
    }
}

/// Starts the program and waits for its end.
fn asked(words: &[&str]) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_deepstay"));
    program.args(words).stdout(Stdio::null());
    let ended = program.status().expect("the program is there");
    assert!(black_box(ended).success(), "{words:?}: {ended}");
}

fn names() -> impl Iterator<Item = &'static str> {
    sums().map(|sum| sum.name)
}

/// Each sum by its example.
#[divan::bench(args = names())]
fn a_sum_from_the_shell(bencher: Bencher, name: &str) {
    let sum = sums().find(|sum| sum.name == name).expect("there is one");
    let words: Vec<&str> = ["sums", name]
        .into_iter()
        .chain(sum.example.split(' '))
        .collect();
    bencher.bench_local(|| asked(&words));
}

/// A sum backwards, which looks for the input that makes the answer, by the real gas.
#[divan::bench]
fn a_sum_backwards_from_the_shell(bencher: Bencher) {
    let words = [
        "sums",
        "hours-left",
        "bottles=48",
        "volume=50L",
        "gauge=?",
        "change-over=35bar",
        "divers=2",
        "depth=118msw",
        "time=3h",
        "--gas-law",
        "real",
    ];
    bencher.bench_local(|| asked(&words));
}

/// A sum whose inputs come from a job.
#[divan::bench]
fn a_sum_of_a_job_from_the_shell(bencher: Bencher) {
    let words = [
        "sums",
        "quad-contents",
        "--job",
        "six-man",
        "--bank",
        "M-1",
        "bottles=64",
        "volume=50L",
    ];
    bencher.bench_local(|| asked(&words));
}

static JOB: OnceLock<PathBuf> = OnceLock::new();

/// The files of the job of thirty days, run once.
fn job() -> &'static Path {
    JOB.get_or_init(|| {
        let folder = format!("deepstay-bench-sums-{}", std::process::id());
        let folder = std::env::temp_dir().join(folder);
        let mut program = Command::new(env!("CARGO_BIN_EXE_deepstay"));
        program
            .args(["run", "six-man", "--out"])
            .arg(&folder)
            .stdout(Stdio::null());
        // Its exit code says how the job ended.
        program.status().expect("the program is there");
        assert!(folder.join("job.json").is_file());
        folder
    })
}

/// Figures of a job of thirty days: one of the ledger, one of the bell runs, and the list of all.
#[divan::bench(args = ["job/gas/banks/M-1/end_mol", "job/bell_runs/in_water_h", "job"], sample_count = 20)]
fn a_figure_explained_from_the_shell(bencher: Bencher, figure: &str) {
    let folder = job().display().to_string();
    bencher.bench_local(|| asked(&["explain", figure, "--in", &folder]));
}
