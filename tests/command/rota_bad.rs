//! Bad input to `rota`: what the scenario or a table may have wrong, each told with what would be right.

use super::rota_used::job;
use super::{folder, run};
use std::fs;

#[test]
fn no_legal_rota_says_what_helps() {
    let f = folder();
    let late = "weather_allowance: \"10 %\",\n        first: \"12 h\"";
    let mine = job(
        &f,
        "mine",
        late,
        "weather_allowance: \"10 %\",\n        first: \"24d 23:00\"",
    );
    let (code, out, err) = run(&f, &["rota", &mine]);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    assert!(
        err.contains("no legal rota") && err.contains("house.rota."),
        "{err}"
    );
    assert!(
        err.contains("\n  help: ") && err.contains("it prescribes nothing"),
        "{err}"
    );
}

#[test]
fn a_qualification_that_nobody_holds() {
    let f = folder();
    let task = "in_water: \"30 h\", qualifications: [\"2F wet\"]";
    let mine = job(&f, "mine", task, &task.replace("2F", "4G"));
    let (code, out, err) = run(&f, &["rota", &mine]);
    assert_eq!((code, out.as_str()), (3, ""), "{err}");
    assert!(
        err.contains("mine.ron:") && err.contains("nobody in the crew holds \"4G wet\""),
        "{err}"
    );
}

#[test]
fn crew_changes_that_overlap() {
    let f = folder();
    let changes = "crew_changes: [\n            (chamber: \"Living\", surface_by: \"30 d\"),\n            (chamber: \"Living\", surface_by: \"30d 12:00\"),\n        ],\n        rota: [(";
    let mine = job(&f, "mine", "rota: [(", changes);
    let (code, out, err) = run(&f, &["rota", &mine]);
    assert_eq!((code, out.as_str()), (3, ""), "{err}");
    assert!(
        err.contains("mine.ron:") && err.contains("overlaps another"),
        "{err}"
    );
}

#[test]
fn a_diver_listed_twice_in_the_crew() {
    let f = folder();
    let mine = job(&f, "mine", "(initials: \"CD\"", "(initials: \"AB\"");
    let (code, out, err) = run(&f, &["rota", &mine]);
    assert_eq!((code, out.as_str()), (3, ""), "{err}");
    assert!(err.contains("mine.ron:") && err.contains("AB"), "{err}");
}

/// Who is not on board dives not: a run of his is complained of, and so are dates the wrong way round.
#[test]
fn a_diver_who_is_not_on_board() {
    let f = folder();
    for (more, words, right) in [
        (
            "joins: \"3 d\", leaves: \"2 d\",",
            "goes home before he comes on board",
            "a time of `leaves` that is after `joins`",
        ),
        (
            "joins: \"3 d\",",
            "CD is not on board",
            "put the bell run between his `joins` and his `leaves`",
        ),
        ("joins: \"soon\",", "soon", ""),
    ] {
        let from = "(initials: \"CD\",";
        let mine = job(&f, "mine", from, &format!("{from} {more}"));
        let (code, out, err) = run(&f, &["rota", &mine]);
        assert_eq!((code, out.as_str()), (3, ""), "{more}: {err}");
        assert!(
            err.contains("mine.ron:") && err.contains(words) && err.contains(right),
            "{more}: {err}"
        );
        fs::remove_file(f.path().join("mine.ron")).expect("taken away");
    }
}

#[test]
fn strange_times_in_a_table() {
    let f = folder();
    for time in [
        "2031-06-03 25:00",
        "2031-06-03 08:61",
        "2031-02-30 08:00",
        "8 o'clock",
        "",
        "2031-06-03",
        "1931-06-03 08:00",
        "2131-06-03 08:00",
        "2031-06-03 08:00+19:00",
        "1e9",
        "NaN",
    ] {
        let table = format!("diver,leave,return,role\nAB,{time},2031-06-03 15:00,diver\n");
        fs::write(f.path().join("r.csv"), table).expect("written");
        let (code, out, err) = run(&f, &["rota", "six-man", "--check", "r.csv"]);
        assert_eq!((code, out.as_str()), (3, ""), "{time}: {err}");
        assert!(err.contains("r.csv:2:4"), "{time}: {err}");
    }
}

/// A turn over midnight is one turn, and a zone's clock that is put forward leaves the ship's as it is: from
/// 01:30 of winter time to 03:30 of summer time is one hour.
#[test]
fn midnight_and_the_beginning_of_summer_time() {
    let f = folder();
    let mine = job(&f, "mine", "2031-06-02 06:00", "2031-03-24 06:00");
    let table = "diver,leave,return,role\n\
        AB,2031-03-29 22:00,2031-03-30 05:00,diver\nCD,2031-03-29 22:00,2031-03-30 05:00,diver\n\
        EF,2031-03-31 01:30+01:00,2031-03-31 09:00+02:00,diver\nGH,2031-03-31 01:30+01:00,2031-03-31 07:00Z,diver\n";
    fs::write(f.path().join("r.csv"), table).expect("written");
    let (code, out, err) = run(&f, &["rota", &mine, "--check", "r.csv", "--json"]);
    assert!(code <= 1, "{out}{err}");
    let summary: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let lengths: Vec<i64> = summary["bell_runs"]
        .as_array()
        .expect("turns")
        .iter()
        .filter_map(|t| Some(t["return_s"].as_i64()? - t["leave_s"].as_i64()?))
        .collect();
    assert_eq!(lengths, [7 * 3600, 6 * 3600 + 1800]);
}
