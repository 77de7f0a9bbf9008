//! `run`: what it leaves in its folder, when it is stopped, when the disk is full, when nobody may write.

use super::{folder, run};
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

const FILES: [&str; 13] = [
    "alarms.csv",
    "bell-runs.csv",
    "daily-returns.html",
    "divers.csv",
    "events.csv",
    "faults.csv",
    "gas-plan.csv",
    "gas-status.csv",
    "job.json",
    "ledger.csv",
    "log.csv",
    "report.html",
    "working.csv",
];

/// Names in a folder, sorted; hidden ones too.
fn names(of: &Path) -> Vec<String> {
    let entries = fs::read_dir(of).expect("a folder");
    let mut names: Vec<String> = entries
        .map(|e| {
            e.expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    names
}

/// A shell's command line in a folder: exit code, standard error.
fn shell(folder: &tempfile::TempDir, line: &str) -> (i32, String) {
    let output = Command::new("sh")
        .args(["-c", line, "sh", env!("CARGO_BIN_EXE_deepstay")])
        .current_dir(folder.path())
        .stdout(Stdio::null())
        .output()
        .expect("a shell");
    (
        output.status.code().expect("a code"),
        String::from_utf8_lossy(&output.stderr).into_owned(),
    )
}

#[test]
fn stopped_early_it_writes_everything_and_says_so() {
    let f = folder();
    let (code, out, err) = run(
        &f,
        &[
            "run",
            "short",
            "--stop-after",
            "0.5",
            "--out",
            "o",
            "--json",
        ],
    );
    assert!(code == 0 || code == 1, "{code} {err}");
    let summary: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(summary["complete"], false);
    assert_eq!(names(&f.path().join("o")), FILES);
    assert_eq!(names(f.path()), ["o"]);
    let (code, _, err) = run(&f, &["run", "short", "--stop-after", "0.5", "--out", "o"]);
    assert_eq!(code, 3);
    assert!(err.contains("--replace"), "{err}");
    let (code, _, err) = run(
        &f,
        &[
            "run",
            "short",
            "--stop-after",
            "0.5",
            "--out",
            "o",
            "--replace",
            "--quiet",
        ],
    );
    assert!(code == 0 || code == 1, "{code} {err}");
    assert_eq!(names(&f.path().join("o")), FILES);
}

#[test]
fn folders_on_the_way_are_made_with_the_report() {
    let f = folder();
    let (code, _, err) = run(
        &f,
        &[
            "run",
            "short",
            "--stop-after",
            "0.1",
            "--out",
            "this/year/o",
            "--quiet",
        ],
    );
    assert!(code == 0 || code == 1, "{code} {err}");
    assert_eq!(names(&f.path().join("this/year/o")), FILES);
    assert_eq!(names(&f.path().join("this/year")), ["o"]);
    assert_eq!(names(f.path()), ["this"]);
}

#[test]
#[cfg(target_os = "linux")]
fn a_folder_that_cannot_be_made_is_refused_before_the_job() {
    let f = folder();
    fs::write(f.path().join("file"), "").expect("written");
    for out in ["file/o", "file/no/such/o", "/proc/no/such/o"] {
        let (code, text, err) = run(&f, &["run", "twelve-man", "--no-leap", "--out", out]);
        assert_eq!((code, text.as_str()), (3, ""), "{err}");
        assert!(err.contains("cannot"), "{err}");
    }
    assert_eq!(names(f.path()), ["file"]);
}

#[test]
#[cfg(unix)]
fn interrupted_it_keeps_what_it_has() {
    let f = folder();
    let child = Command::new(env!("CARGO_BIN_EXE_deepstay"))
        .args(["run", "twelve-man", "--no-leap", "--out", "o"])
        .current_dir(f.path())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("it starts");
    std::thread::sleep(Duration::from_secs(2));
    let pid = child.id().to_string();
    assert!(
        Command::new("sh")
            .args(["-c", "kill -INT $0", &pid])
            .status()
            .expect("a shell")
            .success()
    );
    let code = child.wait_with_output().expect("it ends").status.code();
    assert_eq!(code, Some(4));
    assert_eq!(names(&f.path().join("o")), FILES);
    let text = fs::read_to_string(f.path().join("o/job.json")).expect("readable");
    let summary: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(summary["complete"], false);
}

/// A limit on the size of files stands for a disk that fills while the report is written.
#[test]
#[cfg(unix)]
fn where_the_disk_is_full_nothing_looks_whole() {
    let f = folder();
    let (code, err) = shell(
        &f,
        "trap '' XFSZ; ulimit -f 8; exec \"$1\" run short --stop-after 0.5 --out o",
    );
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("cannot write"), "{err}");
    assert_eq!(names(f.path()), [""; 0]);
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_device_on_standard_output_is_told() {
    let f = folder();
    for verb in [
        "list",
        "schema",
        "check short",
        "run short --stop-after 0.1",
        "run short --stop-after 0.1 --json",
    ] {
        let (code, err) = shell(&f, &format!("\"$1\" {verb} > /dev/full"));
        assert_eq!(code, 2, "{verb}: {err}");
        assert!(err.contains("could not be written"), "{verb}: {err}");
    }
}
