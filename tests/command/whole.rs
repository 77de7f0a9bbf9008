//! `run` to the end of a job, whole or stopped by what happens in it: the files it leaves, the same twice,
//! and in the units and at the cadence that were asked for.

use super::{deepstay, folder, run};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

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

fn text(of: &Path) -> String {
    fs::read_to_string(of).unwrap_or_else(|e| panic!("{}: {e}", of.display()))
}

fn summary(out: &Path) -> serde_json::Value {
    serde_json::from_str(&text(&out.join("job.json"))).expect("JSON")
}

/// Seconds of the log's rows, each as often as there are rows.
fn seconds(out: &Path) -> Vec<i64> {
    let mut log = csv::Reader::from_path(out.join("log.csv")).expect("a table");
    let seconds = log
        .records()
        .map(|r| r.expect("a row")[0].parse().expect("a second"));
    seconds.collect()
}

/// What the log's rows on the hour say of the true state: chamber and all columns of the truth.
fn truths(out: &Path) -> Vec<Vec<String>> {
    let mut log = csv::Reader::from_path(out.join("log.csv")).expect("a table");
    let heads = log.headers().expect("heads").clone();
    let told = |head: &str| head == "chamber" || head.contains(" true (");
    let of = |row: csv::StringRecord| -> Option<Vec<String>> {
        let second: i64 = row[0].parse().expect("a second");
        let cells = heads.iter().zip(&row).filter(|(head, _)| told(head));
        (second % 3600 == 0).then(|| cells.map(|(_, cell)| cell.to_owned()).collect())
    };
    log.records()
        .filter_map(|r| of(r.expect("a row")))
        .collect()
}

fn files(of: &Path) -> BTreeSet<String> {
    let entries = fs::read_dir(of).expect("a folder");
    entries
        .map(|e| {
            e.expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect()
}

/// Writes `thin.ron`: the short job with helium in the banks that are painted as bottom mix and as oxygen. No oxygen
/// comes, and after some hours the divers have used what there was.
pub fn wrongly_filled(folder: &tempfile::TempDir) {
    assert_eq!(run(folder, &["new", "thin", "--from", "short"]).0, 0);
    let path = folder.path().join("thin.ron");
    let wrongly_filled: Vec<String> = text(&path)
        .lines()
        .map(|line| {
            line.replace(
                r#"contents: Heliox("2 %")"#,
                r#"label: "2 %", contents: Helium"#,
            )
            .replace("contents: Oxygen", r#"label: "100 %", contents: Helium"#)
        })
        .collect();
    let helium = wrongly_filled
        .iter()
        .filter(|l| l.contains("label:"))
        .count();
    assert_eq!(
        helium, 6,
        "three banks of mix, two of oxygen and the bell's"
    );
    fs::write(&path, wrongly_filled.join("\n")).expect("changed");
}

#[test]
fn a_job_that_cannot_be_completed_says_when_and_why_and_leaves_all_up_to_there() {
    let f = folder();
    wrongly_filled(&f);
    let (code, out, err) = run(&f, &["run", "thin.ron", "--out", "o"]);
    assert_eq!(code, 2, "{err}");
    let o = f.path().join("o");
    assert_eq!(files(&o), FILES.map(String::from).into());
    let job = summary(&o);
    assert_eq!(job["complete"], false);
    let reason = job["ended_because"].as_str().expect("words");
    assert!(reason.contains("died: low oxygen"), "{reason}");
    let hour = job["ended_hour"].as_f64().expect("a number");
    assert!(hour > 1.0 && hour < 48.0, "{hour}");
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(out.starts_with("SOMEBODY DEAD: "), "{out}");
    assert!(words.contains(reason), "the reason: {out}");
    let clock = job["ended_clock"].as_str().expect("a clock");
    assert!(
        words.contains(&format!("{clock}, hour {hour:.1}")),
        "the hour: {out}"
    );

    let ended_s = job["ended_s"].as_i64().expect("a second");
    let logged = seconds(&o);
    assert!(logged.iter().all(|s| *s <= ended_s), "no row after its end");
    assert!(
        logged.iter().any(|s| *s > ended_s - 1800),
        "rows up to its end"
    );
    assert_eq!(
        job["ledger"]["closes"], true,
        "the books close up to there too"
    );
    let page = text(&o.join("report.html"));
    assert!(page.contains("Somebody dead") && page.contains(reason));
    assert!(page.trim_end().ends_with("</html>"));
}

/// Neither where nor when nor in which zone a machine runs a job is in what it writes.
#[test]
fn the_same_scenario_and_seed_give_the_same_bytes() {
    let f = folder();
    for (out, zone) in [("one", "UTC"), ("two/o", "Asia/Kathmandu")] {
        let ended = deepstay(&f)
            .args(["run", "short", "--seed", "7", "--quiet", "--out", out])
            .env("TZ", zone)
            .output()
            .expect("the command starts");
        assert!(matches!(ended.status.code(), Some(0 | 1)), "{ended:?}");
    }
    let (one, two) = (f.path().join("one"), f.path().join("two/o"));
    assert_eq!(files(&one), files(&two));
    assert_eq!(files(&one), FILES.map(String::from).into());
    for name in FILES {
        let (a, b) = (
            fs::read(one.join(name)).expect("there"),
            fs::read(two.join(name)).expect("there"),
        );
        assert!(!a.is_empty() && a == b, "{name} differs");
    }
    assert_eq!(summary(&one)["seed"], 7);
}

#[test]
fn hourly_leaves_out_every_second_log_row_and_changes_none() {
    let f = folder();
    let arguments = ["run", "short", "--quiet", "--stop-after", "2", "--out"];
    let (code, _, err) = run(&f, &[&arguments[..], &["half"]].concat());
    assert!(code == 0 || code == 1, "{code} {err}");
    let (code, _, err) = run(&f, &[&arguments[..], &["hour", "--hourly"]].concat());
    assert!(code == 0 || code == 1, "{code} {err}");
    let of = |out: &str| seconds(&f.path().join(out));
    let (half, hour) = (of("half"), of("hour"));
    let on_the_hour: Vec<i64> = half.iter().copied().filter(|s| s % 3600 == 0).collect();
    assert_eq!(hour, on_the_hour);
    assert_eq!(
        truths(&f.path().join("hour")),
        truths(&f.path().join("half"))
    );
    let (half, hour): (BTreeSet<i64>, BTreeSet<i64>) =
        (half.into_iter().collect(), hour.into_iter().collect());
    println!("half-hourly {} rows, hourly {}", half.len(), hour.len());
    assert!(half.iter().all(|s| s % 1800 == 0));
    assert_eq!(
        half.len() - 1,
        2 * (hour.len() - 1),
        "both have the first and the last"
    );
}
