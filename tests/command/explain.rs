//! `deepstay explain` as a user types it: a figure, a list, files that do not belong together, bad input; and its speed.

use super::{folder, run};
use std::fs;
use std::time::Instant;

#[test]
fn a_figure_of_a_run_is_explained_and_a_changed_one_is_not_believed() {
    let f = folder();
    let (code, _, err) = run(
        &f,
        &["run", "short", "--stop-after", "2", "--out", "o", "--quiet"],
    );
    assert_eq!(code, 0, "{err}");
    let id = "job/gas/banks/M-1/end_mol";
    let (code, out, err) = run(&f, &["explain", id, "--in", "o"]);
    assert_eq!(code, 0, "{err}");
    for told in [
        "opening - what went out + what came back",
        "column \"all (mol)\" of ledger.csv",
        "(line 2)",
        "which agrees",
        "stock.banks[M-1].bottles = \"64 x 50 L at 200 bar\": built-in job short:",
        "it prescribes nothing",
    ] {
        assert!(out.replace("\n    ", " ").contains(told), "{told}: {out}");
    }
    let (code, out, _) = run(&f, &["explain", id, "--in", "o", "--json"]);
    let chain: serde_json::Value = serde_json::from_str(&out).expect("json");
    assert_eq!(code, 0);
    assert_eq!(chain["again"]["is"], "agrees");
    assert_eq!(chain["figure"], id);
    // Below the beginning of an id.
    let (_, out, _) = run(&f, &["explain", "job/gas/banks/M-1", "--in", "o"]);
    assert_eq!(out.lines().count(), 10, "{out}");
    assert!(out.lines().all(|l| l.starts_with("job/gas/banks/M-1/")));
    let (_, all, _) = run(&f, &["explain", "--in", "o"]);
    assert!(all.lines().count() > 300, "{all}");
    // The head figures of the page open theirs, and rows carry ids that are answered.
    let page = fs::read_to_string(f.path().join("o/report.html")).expect("there");
    assert!(page.contains("deepstay explain job/bell_runs/made"));
    let mut rows = 0;
    for at in page.split("title=\"job/").skip(1) {
        let id = format!("job/{}", at.split('"').next().expect("ends"));
        rows += usize::from(all.lines().any(|l| l.starts_with(&id)));
        assert!(all.lines().any(|l| l.starts_with(&id)), "{id}");
    }
    assert!(rows > 20, "{rows}");
    // A ledger of another hand.
    let ledger = f.path().join("o/ledger.csv");
    let text = fs::read_to_string(&ledger).expect("there");
    let line = text.lines().nth(1).expect("a line");
    let cell = line.rsplit(',').nth(1).expect("a cell");
    fs::write(&ledger, text.replacen(cell, "25000.000000", 1)).expect("written");
    let (code, out, _) = run(&f, &["explain", id, "--in", "o"]);
    assert_eq!(code, 1, "{out}");
    assert!(out.contains("DOES NOT AGREE"), "{out}");
}

#[test]
fn what_cannot_be_explained_is_told() {
    let f = folder();
    let (code, _, err) = run(
        &f,
        &[
            "rota",
            "short",
            "--time-limit",
            "1",
            "--out",
            "r",
            "--quiet",
        ],
    );
    assert_eq!(code, 0, "{err}");
    let (code, _, err) = run(&f, &["explain", "rota/proof/gop", "--in", "r"]);
    assert_eq!(code, 3);
    assert!(err.contains("the nearest is `rota/proof/gap`"), "{err}");
    fs::create_dir(f.path().join("empty")).expect("made");
    for (place, told) in [
        ("empty", "holds no job.json, rota.json or stock.json"),
        ("nowhere", "cannot look at the folder nowhere"),
        ("r/rota.json", "it is no folder"),
    ] {
        let (code, out, err) = run(&f, &["explain", "--in", place]);
        assert_eq!((code, out.as_str()), (3, ""), "{place}");
        assert!(err.contains(told), "{err}");
    }
    let summary = f.path().join("r/rota.json");
    let text = fs::read_to_string(&summary).expect("there");
    fs::write(&summary, text.replacen("\"format\": 3", "\"format\": 1", 1)).expect("written");
    let (code, _, err) = run(&f, &["explain", "rota/proof/gap", "--in", "r"]);
    assert_eq!(code, 3);
    assert!(err.contains("rota.json in r has format 1"), "{err}");
}

/// Of a job of thirty days in less than a second, the start of the program and a busy machine included.
#[test]
fn it_is_quick_on_a_job_of_thirty_days() {
    let f = folder();
    let (code, _, err) = run(&f, &["run", "six-man", "--out", "o", "--quiet"]);
    assert_eq!(code, 1, "{err}");
    for id in [
        "job/bell_runs/in_water_h",
        "job/gas/totals/drawn-from-banks/He/mol",
        "job/alarms/floods",
    ] {
        let began = Instant::now();
        let (code, _, err) = run(&f, &["explain", id, "--in", "o"]);
        let took = began.elapsed();
        assert_eq!(code, 0, "{err}");
        assert!(took.as_secs_f64() < 1.0, "{id}: {took:?}");
    }
}
