//! `rota`: made, judged, set against other rules; its folder; what a user gets wrong.

use super::{folder, run};
use std::fs;
use std::path::Path;

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

fn json(text: &str) -> serde_json::Value {
    serde_json::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

/// A day of two turns of the six-man job, in the four columns that must be there.
const HEAD: &str = "diver,leave,return,role\n";
const TURN: &str =
    "AB,2031-06-03 08:00,2031-06-03 15:00,diver\nCD,2031-06-03 08:00,2031-06-03 15:00,diver\n";

#[test]
fn a_rota_is_made_and_its_own_table_is_found_within_the_rules() {
    let f = folder();
    for job in ["six-man", "nine-man"] {
        let (code, out, err) = run(&f, &["rota", job, "--out", job]);
        assert_eq!(code, 0, "{out}{err}");
        assert!(
            out.contains("Breaches: none") && out.contains("it prescribes nothing"),
            "{out}"
        );
        assert!(
            out.lines()
                .filter(|l| !l.contains("files are in"))
                .all(|l| l.chars().count() <= 80),
            "{out}"
        );
        let there = names(&f.path().join(job));
        for file in [
            "rota.json",
            "rota.csv",
            "rota.html",
            "noticeboard.html",
            "bell-runs.ron",
            "rota-all.ics",
            "rota-AB.ics",
        ] {
            assert!(there.contains(&file.to_owned()), "{there:?}");
        }
        let summary =
            json(&fs::read_to_string(f.path().join(job).join("rota.json")).expect("readable"));
        assert_eq!(summary["legal"], true);
        assert!(
            summary["proof"]["gap"].as_f64().expect("a gap") <= 0.05,
            "{}",
            summary["proof"]
        );
        let table = format!("{job}/rota.csv");
        let (code, out, err) = run(&f, &["rota", job, "--check", &table]);
        assert_eq!(code, 0, "{out}{err}");
        assert!(
            out.contains("Breaches: none") && out.contains(&table),
            "{out}"
        );
        // The table reads back to the same turns.
        let again = json(&run(&f, &["rota", job, "--check", &table, "--json"]).1);
        assert_eq!(again["bell_runs"], summary["bell_runs"]);
    }
    let (code, _, err) = run(&f, &["rota", "six-man", "--out", "six-man"]);
    assert_eq!(code, 3);
    assert!(err.contains("--replace"), "{err}");
}

#[test]
fn breaches_are_told_with_rule_source_and_margin() {
    let f = folder();
    let again = TURN
        .replace("06-03 08:00", "06-03 22:00")
        .replace("06-03 15:00", "06-04 07:00");
    fs::write(f.path().join("r.csv"), format!("{HEAD}{TURN}{again}")).expect("written");
    let (code, out, err) = run(&f, &["rota", "six-man", "--check", "r.csv"]);
    assert_eq!(code, 1, "{out}{err}");
    assert!(out.contains("BREACHES") && out.contains("rest"), "{out}");
    let summary = json(&run(&f, &["rota", "six-man", "--check", "r.csv", "--json"]).1);
    let breaches = summary["breaches"].as_array().expect("a list");
    let rest = breaches
        .iter()
        .find(|b| b["margin"]["kind"] == "at least")
        .expect("a rest that is too short");
    // Clamped on at 15:00, sealed in at 22:00: seven hours, less the trunk (4 min, and 118 msw at 12 msw/min), two minutes
    // home, and 24 min of checks, which are no rest (UK, HSE, DVIS 7). Twelve are asked for.
    let found_s = 7 * 3600 - (4 * 60 + 590) - 2 * 60 - 24 * 60;
    assert_eq!(rest["margin"]["found"], found_s);
    assert_eq!(rest["margin"]["left"], found_s - 12 * 3600);
    assert!(!rest["document"].as_str().expect("a document").is_empty());
    // From the clamp loosened: 10 min 30 s after sealing in.
    let run_too_long = breaches
        .iter()
        .any(|b| b["margin"]["kind"] == "at most" && b["margin"]["found"] == 9 * 3600 - 630);
    assert!(run_too_long, "{breaches:?}");
}

#[test]
fn the_same_crew_under_two_sets_stands_in_one_table() {
    let f = folder();
    let (code, out, err) = run(
        &f,
        &[
            "rota",
            "nine-man",
            "--against",
            "norway",
            "uk",
            "--time-limit",
            "5",
        ],
    );
    assert_eq!(code, 0, "{out}{err}");
    let row = |name: &str| {
        out.lines()
            .find(|l| l.starts_with(name))
            .unwrap_or_else(|| panic!("{name}: {out}"))
    };
    // At 200 msw: Norway 6 h and 3 h in the water, UK 8 h and 6 h.
    let cells: Vec<&str> = row("longest bell run").split_whitespace().collect();
    assert_eq!(cells[cells.len() - 2..], ["6:00", "8:00"], "{out}");
    let cells: Vec<&str> = row("longest in the water").split_whitespace().collect();
    assert_eq!(cells[cells.len() - 2..], ["3:00", "6:00"], "{out}");
    assert!(
        row("breaches of the rota at hand")
            .split_whitespace()
            .count()
            >= 8,
        "{out}"
    );
    let (code, _, err) = run(&f, &["rota", "six-man", "--against", "norwai"]);
    assert_eq!(code, 3);
    assert!(err.contains("did you mean `norway`"), "{err}");
    let (code, _, err) = run(
        &f,
        &[
            "rota",
            "six-man",
            "--against",
            "uk",
            "--accept",
            "uk.saturatio",
        ],
    );
    assert_eq!(code, 3);
    assert!(err.contains("did you mean `uk.saturation`"), "{err}");
}

#[test]
fn what_is_wrong_in_a_table_is_told_where_it_is() {
    let f = folder();
    for (text, at, words) in [
        ("", "r.csv:", "no table"),
        ("diver,leave,return\n", "r.csv:1:1", "no column `role`"),
        (HEAD, "r.csv:1:1", "no bell run"),
        (
            "diver,leave,return,role\nAB,2031-06-03 22:00,2031-06-03 06:00,diver\n",
            "r.csv:2:21",
            "returns before it leaves",
        ),
        (
            "diver,leave,return,role\nAB,2031-06-03 08:00,2031-06-03 24:00,diver\n",
            "r.csv:2:21",
            "2031-06-04 00:00",
        ),
        (
            "diver,leave,return,role\nAB,03/06/2031 08:00,2031-06-03 15:00,diver\n",
            "r.csv:2:4",
            "which number is the day",
        ),
        (
            "diver,leave,return,role\nAB,2031-10-26 02:30 CET,2031-10-26 08:00,diver\n",
            "r.csv:2:4",
            "name of a zone",
        ),
        (
            "diver,leave,return,role\nQQ,2031-06-03 08:00,2031-06-03 15:00,diver\n",
            "r.csv:2:1",
            "no diver `QQ`",
        ),
    ] {
        fs::write(f.path().join("r.csv"), text).expect("written");
        let (code, out, err) = run(&f, &["rota", "six-man", "--check", "r.csv"]);
        assert_eq!((code, out.as_str()), (3, ""), "{text}: {err}");
        assert!(err.contains(at) && err.contains(words), "{text}: {err}");
    }
    fs::write(f.path().join("r.csv"), format!("{HEAD}{TURN}{TURN}")).expect("written");
    let (code, _, err) = run(&f, &["rota", "six-man", "--check", "r.csv"]);
    assert_eq!(code, 3);
    assert!(
        err.contains("r.csv:4:1") && err.contains("AB is listed twice"),
        "{err}"
    );
    fs::write(f.path().join("r.csv"), b"PK\x03\x04\xff\xfe").expect("written");
    let (code, _, err) = run(&f, &["rota", "six-man", "--check", "r.csv"]);
    assert!(code == 3 && err.contains("no text"), "{err}");
    let (code, _, err) = run(&f, &["rota", "six-man", "--check", "no-such.csv"]);
    assert!(
        code == 3 && err.contains("no-such.csv: cannot be read"),
        "{err}"
    );
}

/// The hour that a zone's clock has twice is two instants; offsets tell them apart, and the ship's clock goes on.
#[test]
fn times_with_offsets_across_the_end_of_summer_time() {
    let f = folder();
    let job = f.path().join("autumn.ron");
    let (code, _, err) = run(&f, &["new", "autumn"]);
    assert_eq!(code, 0, "{err}");
    let text = fs::read_to_string(&job)
        .expect("readable")
        .replace("2031-06-02 06:00", "2031-10-20 06:00");
    fs::write(&job, text).expect("written");
    let turn = "AB,2031-10-26 02:30+02:00,2031-10-26 08:30+01:00,diver\nCD,2031-10-26 02:30,2031-10-26 07:30Z,diver\n";
    fs::write(f.path().join("r.csv"), format!("{HEAD}{turn}")).expect("written");
    let (code, out, err) = run(&f, &["rota", "autumn.ron", "--check", "r.csv", "--json"]);
    assert!(code <= 1, "{out}{err}");
    let summary = json(&out);
    assert_eq!(
        summary["bell_runs"][0]["positions"]
            .as_array()
            .map(Vec::len),
        Some(2)
    );
    assert_eq!(
        summary["bell_runs"][0]["return_s"]
            .as_i64()
            .zip(summary["bell_runs"][0]["leave_s"].as_i64())
            .map(|(b, a)| b - a),
        Some(7 * 3600)
    );
    assert!(
        summary["remarks"].to_string().contains("UTC+01:00"),
        "{}",
        summary["remarks"]
    );
}

#[test]
fn a_change_under_way_changes_what_it_touches() {
    let f = folder();
    let (code, _, err) = run(&f, &["rota", "six-man", "--out", "o", "--quiet"]);
    assert_eq!(code, 0, "{err}");
    let old = json(&fs::read_to_string(f.path().join("o/rota.json")).expect("readable"));
    let stop = [
        "rota",
        "six-man",
        "--check",
        "o/rota.csv",
        "--replan",
        "D10 06:00",
        "--weather",
        "D11 18:00",
    ];
    let (code, out, err) = run(&f, &stop);
    assert_eq!(code, 0, "{out}{err}");
    assert!(
        out.contains("planned again from D10 06:00") && out.contains("bell runs changed"),
        "{out}"
    );
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    let new = json(&run(&f, &[&stop[..], &["--json"]].concat()).1);
    assert_eq!(new["legal"], true);
    // Day 10, 06:00 is nine days after the start at 06:00; the stop lasts a day and a half.
    let (from, to) = (9 * 86_400, 9 * 86_400 + 36 * 3600);
    for turn in old["bell_runs"]
        .as_array()
        .expect("bell runs")
        .iter()
        .filter(|t| t["leave_s"].as_i64() < Some(from))
    {
        assert!(
            new["bell_runs"]
                .as_array()
                .expect("bell runs")
                .contains(turn),
            "what has begun stays: {turn}"
        );
    }
    for turn in new["bell_runs"].as_array().expect("bell runs") {
        let (leave, back) = (
            turn["leave_s"].as_i64().expect("s"),
            turn["return_s"].as_i64().expect("s"),
        );
        assert!(leave < from || leave >= to, "{turn}");
        assert!(back > leave);
    }
    for more in [
        &["--unfit", "AB until D12 06:00"][..],
        &["--unfit", "AB"],
        &["--bell-out", "Bell until D10 20:00"],
    ] {
        let (code, out, err) = run(&f, &[&stop[..6], more].concat());
        assert_eq!(code, 0, "{more:?}: {out}{err}");
    }
    for (more, words) in [
        (&[][..], "nothing has come between"),
        (&["--unfit", "QQ"], "no diver `QQ`"),
        (&["--bell-out", "Diving bell 9"], "no bell"),
        (&["--weather", "D09 06:00"], "over before"),
        (&["--weather", "soon"], "no time of day"),
    ] {
        let (code, out, err) = run(&f, &[&stop[..6], more].concat());
        assert_eq!((code, out.as_str()), (3, ""), "{more:?}: {err}");
        assert!(err.contains(words), "{more:?}: {err}");
    }
    let (code, _, err) = run(&f, &["rota", "six-man", "--weather", "D11 18:00"]);
    assert!(code == 3 && err.contains("--replan"), "{err}");
}

#[test]
fn wrong_arguments_are_bad_input() {
    let f = folder();
    for arguments in [
        &["rota", "no-such-job"][..],
        &["rota", "six-man", "--time-limit", "0"],
        &["rota", "six-man", "--time-limit", "soon"],
        &["rota", "six-man", "--against"],
        &["rota", "six-man", "--rules", "no-such"],
    ] {
        let (code, out, err) = run(&f, arguments);
        assert_eq!((code, out.as_str()), (3, ""), "{arguments:?}: {err}");
        assert!(!err.is_empty());
    }
    fs::write(f.path().join("file"), "").expect("written");
    let (code, _, err) = run(&f, &["rota", "six-man", "--out", "file/o"]);
    assert!(code == 3 && err.contains("cannot"), "{err}");
}

#[test]
fn a_short_time_still_gives_a_legal_rota() {
    let f = folder();
    let (code, out, err) = run(
        &f,
        &["rota", "twelve-man", "--time-limit", "0.05", "--json"],
    );
    assert_eq!(code, 0, "{out}{err}");
    assert_eq!(json(&out)["legal"], true);
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_device_is_told() {
    let f = folder();
    let output = std::process::Command::new("sh")
        .args([
            "-c",
            "\"$1\" rota six-man --time-limit 1 > /dev/full",
            "sh",
            env!("CARGO_BIN_EXE_deepstay"),
        ])
        .current_dir(f.path())
        .output()
        .expect("a shell");
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("could not be written"));
}
