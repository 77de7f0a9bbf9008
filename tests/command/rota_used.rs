//! `rota` and what its results are used for: a job that runs the file, other rule sets that live through the
//! same events, a search that goes on until it is interrupted.

use super::{folder, run};
use std::fs;
use std::process::{Command, Stdio};
use std::time::Duration;

/// A job's own copy with one part changed.
pub fn job(folder: &tempfile::TempDir, name: &str, from: &str, to: &str) -> String {
    let file = format!("{name}.ron");
    let (code, _, err) = run(folder, &["new", name]);
    assert_eq!(code, 0, "{err}");
    let path = folder.path().join(&file);
    let text = fs::read_to_string(&path).expect("readable");
    assert!(text.contains(from), "{from}");
    fs::write(path, text.replacen(from, to, 1)).expect("written");
    file
}

/// The recurring runs of the six-man job as its file has them.
fn recurring() -> String {
    let text = deepstay::scenario::JOBS
        .iter()
        .find(|b| b.name == "six-man")
        .expect("built in")
        .text;
    let from = text.find("rota: [(").expect("its runs");
    let to = from + text[from..].find(")],").expect("their end") + 3;
    text[from..to].to_owned()
}

#[test]
fn a_job_runs_the_file_of_its_rota() {
    let f = folder();
    let (code, _, err) = run(&f, &["rota", "six-man", "--out", "o", "--quiet"]);
    assert_eq!(code, 0, "{err}");
    let mine = job(&f, "mine", &recurring(), "bell_runs: \"o/bell-runs.ron\",");
    let (code, out, err) = run(&f, &["check", &mine]);
    assert_eq!(code, 0, "{out}{err}");
    let (code, _, err) = run(
        &f,
        &["run", &mine, "--stop-after", "2", "--out", "r", "--quiet"],
    );
    assert!(code <= 1, "{err}");
    let rota: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(f.path().join("o/rota.json")).expect("readable"))
            .expect("JSON");
    let runs = fs::read_to_string(f.path().join("r/bell-runs.csv")).expect("readable");
    let first = &rota["bell_runs"][0];
    let who: Vec<&str> = first["positions"]
        .as_array()
        .expect("positions")
        .iter()
        .map(|s| s["diver"].as_str().expect("initials"))
        .collect();
    let line = runs.lines().nth(1).expect("a run");
    assert!(line.contains(&who.join(" ")), "{line}: {who:?}");
    // The rota can be asked of the job that runs it, and gives the same.
    let (code, out, err) = run(&f, &["rota", &mine, "--json"]);
    assert_eq!(code, 0, "{err}");
    let again: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(again["bell_runs"], rota["bell_runs"]);
}

#[test]
fn what_is_wrong_with_a_named_rota_is_told_at_its_place() {
    let f = folder();
    let (code, _, err) = run(&f, &["rota", "six-man", "--out", "o", "--quiet"]);
    assert_eq!(code, 0, "{err}");
    let good = fs::read_to_string(f.path().join("o/bell-runs.ron")).expect("readable");
    let mine = job(&f, "mine", &recurring(), "bell_runs: \"runs.ron\",");
    let told = |text: Option<String>, words: &[&str]| {
        let path = f.path().join("runs.ron");
        match text {
            Some(text) => fs::write(path, text).expect("written"),
            None => drop(fs::remove_file(path)),
        }
        let (code, out, err) = run(&f, &["check", &mine]);
        assert_eq!((code, out.as_str()), (3, ""), "{words:?}: {err}");
        for word in words {
            assert!(err.contains(word), "{word}: {err}");
        }
    };
    told(None, &["mine.ron:", "runs.ron", "no such file"]);
    told(
        Some(good.replacen("\"AB\"", "\"QQ\"", 1)),
        &["runs.ron:", "no diver `QQ`"],
    );
    told(
        Some(good.replacen("in_water", "in_watr", 1)),
        &["runs.ron:", "in_watr", "in_water"],
    );
    told(
        Some(good.replace("2031-06-02", "2031-06-03")),
        &["runs.ron:", "2031-06-03 06:00", "2031-06-02 06:00"],
    );
    told(
        Some(good.replacen("format: 1", "format: 9", 1)),
        &["runs.ron:", "format"],
    );
    let last = good.rfind("(at: \"").expect("a run") + 6;
    let to = last + good[last..].find('"').expect("its end");
    told(
        Some(format!("{}40 d{}", &good[..last], &good[to..])),
        &["runs.ron:", "the job ends on day 31"],
    );
    told(
        Some(format!("{}26 d{}", &good[..last], &good[to..])),
        &["runs.ron:", "not at storage depth"],
    );
    told(
        Some(String::from("diver,leave,return,role\n")),
        &["runs.ron:"],
    );
    fs::write(f.path().join("runs.ron"), good).expect("written");
    let both = job(
        &f,
        "both",
        "rota: [(",
        "bell_runs: \"runs.ron\",\n        rota: [(",
    );
    let (code, _, err) = run(&f, &["check", &both]);
    assert!(code == 3 && err.contains("recur as well"), "{err}");
}

#[test]
fn other_sets_live_through_the_same_events() {
    let f = folder();
    let arguments = [
        "rota",
        "six-man",
        "--replan",
        "D10 06:00",
        "--weather",
        "D13 18:00",
        "--against",
        "uk",
        "--json",
    ];
    let (code, out, err) = run(&f, &arguments);
    assert_eq!(code, 0, "{out}{err}");
    let stopped: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let out = run(&f, &["rota", "six-man", "--against", "uk", "--json"]).1;
    let fair: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let under = |v: &serde_json::Value, set: &str| {
        let all = v["under"].as_array().expect("a list");
        all.iter()
            .find(|u| u["rule_set"] == set)
            .expect("the set")
            .clone()
    };
    // The work is done all the same, later; and the rota at hand is legal under its own set.
    for set in ["uk", "demonstration"] {
        let (before, after) = (under(&fair, set), under(&stopped, set));
        assert!(
            before["gap"].is_number() && after["gap"].is_null(),
            "{after}"
        );
        assert!(
            after["bell_runs"].as_i64() >= before["bell_runs"].as_i64(),
            "{set}: {before} {after}"
        );
    }
    assert_eq!(under(&stopped, "demonstration")["breaches_of_this_rota"], 0);
    let (_, out, _) = run(&f, &arguments[..8]);
    let row = |out: &str| {
        let line = out
            .lines()
            .find(|l| l.starts_with("work done by"))
            .expect("a row")
            .to_owned();
        line.split_whitespace()
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    let calm = run(&f, &["rota", "six-man", "--against", "uk"]).1;
    assert_ne!(row(&out), row(&calm), "{out}");
}

/// A gap that is not reached keeps the search going until it is interrupted: the best so far is written.
#[test]
#[cfg(unix)]
fn interrupted_it_keeps_the_best_so_far() {
    let f = folder();
    let child = Command::new(env!("CARGO_BIN_EXE_deepstay"))
        .args([
            "rota",
            "twelve-man",
            "--gap",
            "0",
            "--time-limit",
            "600",
            "--out",
            "o",
        ])
        .current_dir(f.path())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("it starts");
    std::thread::sleep(Duration::from_secs(4));
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
    let text = fs::read_to_string(f.path().join("o/rota.json")).expect("readable");
    let summary: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(summary["legal"], true);
    assert!(
        summary["bell_runs"]
            .as_array()
            .is_some_and(|t| t.len() > 20)
    );
    assert!(f.path().join("o/noticeboard.html").exists());
    // Its table is judged like any other.
    let (code, out, err) = run(&f, &["rota", "twelve-man", "--check", "o/rota.csv"]);
    assert_eq!(code, 0, "{out}{err}");
}
