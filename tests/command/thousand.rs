//! A job at the upper end of the trade, 1,000 feet of sea water: a foot of a job is a foot of the sets that print one, so
//! that such a job is read and runs, and what does not reach it says which row ends and where.

use super::{folder, run};
use std::fs;

const SPREAD: &str = include_str!("../../scenarios/spreads/six-man.ron");

/// The short job at a depth, with gas that can be breathed there and a spread made for it: rated, heated and chilled for gas
/// that is some thirty times as dense (all of it invented).
fn at(folder: &tempfile::TempDir, depth: &str) -> &'static str {
    let mut rated = SPREAD.to_owned();
    for (shallow, deep) in [
        ("\"200 msw\"", "\"1100 fsw\""),
        (
            "set: \"195 msw\", reseat: \"185 msw\"",
            "set: \"1080 fsw\", reseat: \"1030 fsw\"",
        ),
        ("heater: \"8 kW\"", "heater: \"32 kW\""),
        ("heater: \"4 kW\"", "heater: \"16 kW\""),
        ("coil_flow: \"3 m3/min\"", "coil_flow: \"1 m3/min\""),
        ("coil_flow: \"2 m3/min\"", "coil_flow: \"0.7 m3/min\""),
        ("coil_flow: \"1.5 m3/min\"", "coil_flow: \"0.5 m3/min\""),
    ] {
        assert!(rated.contains(shallow), "{shallow}");
        rated = rated.replace(shallow, deep);
    }
    fs::write(folder.path().join("deep-spread.ron"), rated).expect("written");
    assert_eq!(run(folder, &["new", "thousand", "--from", "short"]).0, 0);
    let path = folder.path().join("thousand.ron");
    let mut job = fs::read_to_string(&path).expect("the copy");
    for (short, deep) in [
        ("spread: \"six-man\"", "spread: \"./deep-spread.ron\""),
        (
            "rules: \"demonstration\",",
            "rules: \"demonstration\", accept_recalled: [\"usn.compression.rates\", \"house.climate.deeper\"],",
        ),
        ("\"60 msw\"", &format!("\"{depth}\"")),
        ("\"62 msw\"", "\"1010 fsw\""),
        (
            "Heliox(\"2 %\"), analysed: \"2 %\"",
            "Heliox(\"0.8 %\"), analysed: \"0.8 %\"",
        ),
        (
            "Heliox(\"8 %\"), analysed: \"8 %\"",
            "Heliox(\"2 %\"), analysed: \"2 %\"",
        ),
        ("charge: Heliox(\"8 %\")", "charge: Heliox(\"2 %\")"),
        (
            "(name: \"T-1\", duty: Treatment,",
            "(name: \"T-3\", duty: Treatment, bottles: \"16 x 50 L at 200 bar\", contents: Heliox(\"16 %\"), analysed: \"16 %\"),
            (name: \"T-4\", duty: Treatment, bottles: \"16 x 50 L at 200 bar\", contents: Heliox(\"8.6 %\"), analysed: \"8.6 %\"),
            (name: \"T-1\", duty: Treatment,",
        ),
        ("64 x 50 L", "320 x 50 L"),
        ("32 x 50 L", "96 x 50 L"),
        ("every: \"8 h\"", "every: \"12 h\""),
        ("end: \"8 d\"", "end: \"20 d\""),
    ] {
        assert!(job.contains(short), "{short}");
        job = job.replace(short, deep);
    }
    fs::write(&path, job).expect("written");
    "thousand.ron"
}

/// Under the house's set, with the two rows that it asks to be accepted knowingly: pressed by the bands printed to 1,000 ft,
/// held for a day with a bell run, told in the same feet that the job is written in.
#[test]
fn a_thousand_feet_are_a_thousand_feet_of_the_tables() {
    let f = folder();
    let job = at(&f, "1000 fsw");
    let (code, out, err) = run(&f, &["check", job]);
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    assert!(
        out.contains("work at 306.43 msw, sea bed at 309.49 msw"),
        "{out}"
    );
    let asked = [
        "run",
        job,
        "--units",
        "imperial",
        "--out",
        "o",
        "--stop-after",
        "1",
    ];
    let (_, out, err) = run(&f, &asked);
    assert!(out.contains("Bell runs: 1 made"), "{out}\n{err}");
    for crossed in ["EMERGENCY", "ppO2", "temperature", "humidity"] {
        assert!(!out.contains(crossed), "{crossed}: {out}");
    }
    let mut log = csv::Reader::from_path(f.path().join("o/log.csv")).expect("a table");
    let heads = log.headers().expect("heads").clone();
    let column = |name: &str| heads.iter().position(|h| h == name).expect("a column");
    let (chamber, depth) = (column("chamber"), column("depth true (fsw)"));
    let rows = log.records().map(|r| r.expect("a row"));
    let living: Vec<f64> = rows
        .filter(|r| &r[chamber] == "Living")
        .filter_map(|r| r[depth].parse().ok())
        .collect();
    // 60 ft at 30 ft/min, to 250 at 10, to 750 at 3, to 1,000 at 2: 313 min, and 20 min of a leak check (rows of the set).
    let storage = &living[living.len() / 2..];
    assert!(!storage.is_empty());
    for fsw in storage {
        assert!((fsw - 1000.0).abs() < 4.0, "{fsw}");
    }
}

/// A foot more, and the row that ends is told with its end; a set that prints less deep says so of its own row.
#[test]
fn a_foot_more_is_told_by_the_row_that_ends() {
    let f = folder();
    let job = at(&f, "1001 fsw");
    let (code, out, err) = run(&f, &["check", job]);
    assert_eq!((code, out.as_str()), (3, ""));
    let told = err.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "usn.compression.rates is printed for storage at 0 fsw to 1000 fsw,",
        "france2012.compression.rates is printed for storage at 10 msw to short of 180 msw,",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    assert!(!told.contains("by the set's foot"), "{told}");
}

/// The matrix of the job says the same of every set.
#[test]
fn the_matrix_of_one_job() {
    let f = folder();
    let job = at(&f, "1000 fsw");
    let (code, out, _) = run(&f, &["check", job, "--matrix"]);
    assert_eq!((code, out.lines().count()), (0, 13), "{out}");
    let line = |set: &str| {
        let own = |l: &&str| l.split_whitespace().nth(1) == Some(set);
        out.lines()
            .find(own)
            .unwrap_or_else(|| panic!("{set}: {out}"))
    };
    assert!(line("demonstration").contains(" runs"), "{out}");
    assert!(
        line("norway").contains("runs with companion norway-companion"),
        "{out}"
    );
    assert!(line("france-2012").contains("refused"), "{out}");
    let (_, out, _) = run(&f, &["check", job, "--rules", "norway-companion"]);
    assert!(out.contains("Working time"), "{out}");
    let (code, _, err) = run(&f, &["check", "thousend", "--matrix"]);
    assert_eq!(code, 3, "{err}");
}
