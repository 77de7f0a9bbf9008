//! No warning is ever cut off: on a pipe everything is told, in 80 columns; on a terminal, in its own width, what
//! went wrong first. The terminal is a real one: `script` (of util-linux) opens it.

use super::{folder, run};
use serde_json::Value;
use std::fs;
use std::process::Command;
use tempfile::TempDir;

/// What a terminal of so many columns is shown.
fn on_a_terminal(folder: &TempDir, columns: u32, arguments: &str) -> String {
    let program = env!("CARGO_BIN_EXE_deepstay");
    let line = format!("stty cols {columns} rows 24; '{program}' {arguments} 2>/dev/null");
    let out = Command::new("script")
        .args(["-q", "-e", "-c", &line, "/dev/null"])
        .current_dir(folder.path())
        .output()
        .expect("`script`, of the package util-linux");
    String::from_utf8_lossy(&out.stdout).replace('\r', "")
}

/// The words of a text, wherever its lines are broken.
fn flowing(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn longest(text: &str) -> usize {
    let lines = text.lines().filter(|l| !l.contains(" are in "));
    lines.map(|l| l.chars().count()).max().unwrap_or(0)
}

/// On 60, 80 (a pipe's) and 200 columns.
fn everywhere(folder: &TempDir, arguments: &str) -> [String; 3] {
    let words: Vec<&str> = arguments.split(' ').collect();
    let piped = run(folder, &words).1;
    let [narrow, wide] = [60, 200].map(|columns| on_a_terminal(folder, columns, arguments));
    assert!(longest(&narrow) <= 60, "{narrow}");
    assert!(longest(&piped) <= 80, "{piped}");
    assert!((81..=200).contains(&longest(&wide)), "{wide}");
    [narrow, piped, wide]
}

#[test]
fn every_limit_crossed_is_on_the_screen_however_many_there_are() {
    let f = folder();
    assert_eq!(run(&f, &["new", "mine", "--from", "short"]).0, 0);
    let path = f.path().join("mine.ron");
    let text = fs::read_to_string(&path).expect("readable");
    let end = text.rfind(')').expect("the end of the job");
    let fault = |at: &str, what: &str| format!(r#"(at: "{at}", what: {what}), "#);
    let stopped: String = ["Living", "Transfer", "Rescue"]
        .into_iter()
        .map(|c| {
            fault("1d 00:00", &format!(r#"FanStop("{c}")"#))
                + &fault("1d 00:00", &format!(r#"ClimateStop("{c}")"#))
        })
        .collect();
    let leak = fault("1d 06:00", r#"Leak(compartment: "Living", bore: "6 mm")"#);
    let faults = format!(
        "{}    faults: (planned: [{stopped}{leak}]),\n)\n",
        &text[..end]
    );
    fs::write(&path, faults).expect("written");
    let (_, told, _) = run(&f, &["run", "mine.ron", "--json"]);
    let job: Value = serde_json::from_str(&told).expect("JSON");
    let of = |list: &str| job[list].as_array().expect("a list").clone();
    let all = [of("limits_crossed"), of("attentions")].concat();
    assert!(all.len() > 8, "more than a screen once had: {}", all.len());
    for screen in everywhere(&f, "run mine.ron") {
        let words = flowing(&screen);
        for limit in &all {
            let text = |key: &str| limit[key].as_str().expect("words").to_owned();
            let head = format!(
                "{} {} {} ",
                text("compartment"),
                text("quantity"),
                text("side")
            );
            assert!(words.contains(&head), "{head}: {screen}");
        }
        let lines = words.matches(" min in ").count();
        assert_eq!(lines, all.len(), "{screen}");
        assert!(words.contains(job["ended_because"].as_str().expect("words")));
        let (worst, rest) = (
            words.find("CROSSED").expect("told"),
            words.find("Most drawn for"),
        );
        assert!(rest.is_some_and(|rest| worst < rest), "{screen}");
        assert!(words.contains("it prescribes nothing"), "{screen}");
    }
}

#[test]
fn every_breach_of_a_rota_is_on_the_screen_and_before_the_rest() {
    let f = folder();
    let rows: String = (0..12)
        .map(|k| {
            let from = k * 2;
            let to = from + 1;
            format!(
                "AB,2031-06-04 {from:02}:00,2031-06-04 {to:02}:55,diver\nCD,2031-06-04 {from:02}:00,2031-06-04 {to:02}:55,diver\n"
            )
        })
        .collect();
    fs::write(
        f.path().join("mine.csv"),
        format!("diver,leave,return,role\n{rows}"),
    )
    .expect("written");
    let (_, told, err) = run(&f, &["rota", "six-man", "--check", "mine.csv", "--json"]);
    let rota: Value = serde_json::from_str(&told).unwrap_or_else(|e| panic!("{e} {told} {err}"));
    let breaches = rota["breaches"].as_array().expect("a list").len();
    assert!(breaches > 15, "more than a screen once had: {breaches}");
    for screen in everywhere(&f, "rota six-man --check mine.csv") {
        let words = flowing(&screen);
        assert!(words.contains(&format!("BREACHES: {breaches}")), "{screen}");
        let listed = screen
            .lines()
            .filter(|l| l.starts_with("  2031-06-04"))
            .count();
        assert_eq!(listed, breaches, "{screen}");
        assert!(
            words.find("BREACHES") < words.find("bell runs from"),
            "{screen}"
        );
        assert!(words.contains("it prescribes nothing"), "{screen}");
    }
}

#[test]
fn warnings_of_a_check_come_first_and_whole() {
    let f = folder();
    assert_eq!(run(&f, &["new", "mine", "--from", "short"]).0, 0);
    let path = f.path().join("mine.ron");
    let text = fs::read_to_string(&path).expect("readable");
    fs::write(&path, text.replace("at 200 bar", "at 280 bar")).expect("written");
    let (code, out, _) = run(&f, &["check", "mine.ron"]);
    assert_eq!(code, 0);
    let (first, rest) = (out.find("  WARNINGS"), out.find("  spread"));
    assert!(first.is_some() && first < rest, "{out}");
    let screens = everywhere(&f, "check mine.ron").map(|s| flowing(&s));
    assert!(screens.iter().all(|s| *s == screens[0]), "{screens:?}");
}

#[test]
fn a_study_tells_what_runs_short_before_any_figure_at_any_width() {
    let f = folder();
    let screens = everywhere(&f, "stock short --replicates 4 --no-alone");
    for screen in &screens {
        let words = flowing(screen);
        assert!(words.contains("it prescribes nothing"), "{screen}");
        let first = ["MINIMUMS NOT MET", "STOPPED ON MINIMUM GAS"]
            .iter()
            .filter_map(|w| words.find(w))
            .min();
        assert!(first.is_none_or(|at| at < words.find("demand loaded").expect("a table")));
    }
    let words = screens.map(|s| flowing(&s));
    assert!(words.iter().all(|s| *s == words[0]), "{words:?}");
}
