//! The sums of a job across all its files. What should equal what is written down here by hand, and the files are
//! read by a reader of this file's own: nothing of it knows a writer. No number is printed with more digits than it
//! has.

use super::{folder, run};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;

type Row = BTreeMap<String, String>;

/// A table of comma-separated cells, quoted ones among them.
fn table(path: &Path) -> Vec<Row> {
    let text = std::fs::read_to_string(path).expect("a file");
    let cells = |line: &str| {
        let (mut cells, mut cell, mut quoted) = (Vec::new(), String::new(), false);
        for sign in line.chars() {
            match sign {
                '"' => quoted = !quoted,
                ',' if !quoted => cells.push(std::mem::take(&mut cell)),
                other => cell.push(other),
            }
        }
        cells.push(cell);
        cells
    };
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let heads = cells(lines.next().expect("heads"));
    let row = |line| heads.iter().cloned().zip(cells(line)).collect();
    lines.map(row).collect()
}

/// The sum of a column, by the beginning of its head, over the rows that a condition picks.
fn sum(table: &[Row], head: &str, picked: impl Fn(&Row) -> bool) -> f64 {
    let cell = |row: &Row| {
        let mut found = row.iter().filter(|(h, _)| h.starts_with(head));
        let (_, text) = found.next().unwrap_or_else(|| panic!("no column {head}"));
        assert!(found.next().is_none(), "two columns begin with {head}");
        text.parse().unwrap_or(0.0)
    };
    table.iter().filter(|row| picked(row)).map(cell).sum()
}

fn agree(what: &str, a: f64, b: f64, within: f64) {
    println!("{what}: {a:.4} and {b:.4}");
    assert!((a - b).abs() <= within, "{what}: {a} and {b}");
}

fn is_bank(place: &str) -> bool {
    place.starts_with("bank ")
}

fn is_outside(place: &str) -> bool {
    ["sea", "air on deck"].contains(&place)
}

/// A body, absorbent, a drain, water: where gas is changed.
fn changes(place: &str) -> bool {
    ["divers", "liquid water"].contains(&place)
        || place.starts_with("absorbent of ")
        || place.starts_with("drained from ")
}

/// What side of the account a movement is on, by its two places.
fn on_side(side: &str, from: &str, to: &str) -> bool {
    match side {
        "drawn from banks" => is_bank(from) && !is_bank(to),
        "back to banks" => is_bank(to) && !is_bank(from),
        "brought back by reclaim" => from == to,
        "taken in from sea and air" => is_outside(from),
        "lost to sea and air" => is_outside(to),
        "used" => changes(to),
        "given off" => changes(from),
        other => panic!("no side {other}"),
    }
}

const SIDES: [&str; 7] = [
    "drawn from banks",
    "back to banks",
    "brought back by reclaim",
    "taken in from sea and air",
    "lost to sea and air",
    "used",
    "given off",
];
const SPECIES: [&str; 5] = ["He", "O2", "N2", "CO2", "H2O"];

#[test]
fn sums_agree_across_all_files_of_a_job() {
    for name in ["short", "bad-night"] {
        let folder = folder();
        let (_, said, _) = run(&folder, &["run", name, "--out", "out"]);
        let out = folder.path().join("out");
        let read = |file: &str| table(&out.join(file));
        let job: Value =
            serde_json::from_slice(&std::fs::read(out.join("job.json")).expect("a file"))
                .expect("JSON");
        let (ledger, runs) = (read("ledger.csv"), read("bell-runs.csv"));
        let moved: Vec<Row> = ledger
            .iter()
            .filter(|row| row["record"] == "moved")
            .cloned()
            .collect();
        println!("{name}: {} lines of the ledger", moved.len());
        sides(&job, &ledger, &moved);
        balance(&ledger, &moved);
        banks(&job, &ledger, &read("gas-status.csv"));
        bells(&job, &moved, &runs);
        divers(&job, &moved, &runs, &read("divers.csv"));
        let alarms = read("alarms.csv");
        assert_eq!(job["alarms"]["count"], alarms.len());
        let standing = alarms.iter().filter(|a| a["standing at end"] == "yes");
        assert_eq!(job["alarms"]["standing_at_end"], standing.count());
        stores(&job, &moved, &read("log.csv"));
        for head in ["drawn", "back", "reclaimed", "taken in", "lost"] {
            assert!(said.contains(head), "the head sums show {head}");
        }
    }
}

/// Every side of the account: in job.json, in the ledger's lines, and in its days. Nothing is below nothing.
fn sides(job: &Value, ledger: &[Row], moved: &[Row]) {
    for species in SPECIES {
        let column = format!("{species} (mol)");
        for row in moved {
            let mol: f64 = row[&column].parse().expect("a number");
            assert!(mol >= 0.0, "gross: {row:?}");
        }
        for side in SIDES {
            let lines = sum(moved, &column, |row| {
                on_side(side, &row["from or place"], &row["to"])
            });
            let told = &job["gas"]["totals"][side][species]["mol"];
            let what = format!("{side}, {species}");
            agree(&what, told.as_f64().unwrap_or(0.0), lines, 1e-3);
            let days = sum(ledger, &column, |row| {
                row["record"] == "day" && row["purpose or side"].starts_with(&format!("{side}: "))
            });
            agree(&format!("{what}, by days"), days, lines, 2e-3);
        }
    }
}

/// Opening and all that came in is closing and all that went out, place by place.
fn balance(ledger: &[Row], moved: &[Row]) {
    for opening in ledger.iter().filter(|row| row["record"] == "opening") {
        let place = &opening["from or place"];
        for species in SPECIES {
            let column = format!("{species} (mol)");
            let held = |record: &str| {
                sum(ledger, &column, |row| {
                    row["record"] == record && row["from or place"] == *place
                })
            };
            let came = sum(moved, &column, |row| row["to"] == *place);
            let went = sum(moved, &column, |row| row["from or place"] == *place);
            let rest = held("opening") + came - went - held("closing");
            assert!(rest.abs() < 1e-3, "{place}, {species}: {rest} left over");
        }
    }
}

/// Banks: moles of job.json and the ledger, gauges of job.json and the first and last status sheet.
fn banks(job: &Value, ledger: &[Row], status: &[Row]) {
    for bank in job["gas"]["banks"].as_array().expect("banks") {
        let name = bank["bank"].as_str().expect("a name");
        for (field, record) in [("start_mol", "opening"), ("end_mol", "closing")] {
            let held = sum(ledger, "all (mol)", |row| {
                row["record"] == record && row["from or place"] == format!("bank {name}")
            });
            let told = bank[field].as_f64().expect("moles");
            assert!((told - held).abs() < 2e-3, "{name}: {told}, {held}");
        }
        let sheets: Vec<&Row> = status.iter().filter(|row| row["bank"] == name).collect();
        let gauge = |row: &Row| sum(std::slice::from_ref(row), "gauge (bar", |_| true);
        for (field, sheet) in [
            ("start_gauge_bar", sheets.first()),
            ("end_gauge_bar", sheets.last()),
        ] {
            let told = bank[field].as_f64().expect("a gauge");
            let read = gauge(sheet.expect("a sheet"));
            assert!(
                (told - read).abs() < 0.051,
                "{name} {field}: {told}, {read}"
            );
        }
    }
}

/// Gas of the bells: all runs and what lies outside them are all that the ledger has for the purposes of bells.
fn bells(job: &Value, moved: &[Row], runs: &[Row]) {
    let all = |purpose: &str, side: &str| {
        sum(moved, "all (m3 free", |row| {
            row["purpose or side"] == purpose && on_side(side, &row["from or place"], &row["to"])
        })
    };
    let within = 0.006 * runs.len() as f64;
    for (column, purpose, side) in [
        ("divers' gas drawn", "divers' gas", "drawn from banks"),
        ("bell and trunk drawn", "bell and trunk", "drawn from banks"),
        ("divers' gas lost", "divers' gas", "lost to sea and air"),
        ("trunk vent lost", "trunk vent", "lost to sea and air"),
        ("bell spill lost", "bell spill", "lost to sea and air"),
        (
            "brought back by reclaim",
            "reclaimed",
            "brought back by reclaim",
        ),
    ] {
        agree(
            column,
            sum(runs, column, |_| true),
            all(purpose, side),
            within,
        );
    }
    let ended = |end: &str| runs.iter().filter(|row| row["end"] == end).count();
    assert_eq!(job["bell_runs"]["made"], ended("made"));
    assert_eq!(
        ended("outside the runs"),
        1,
        "the first pressing is no run's"
    );
    let outside = |column| sum(runs, column, |row| row["end"] == "outside the runs");
    assert!(outside("bell and trunk drawn") > 1.0 && outside("trunk vent lost") > 1.0);
    let sealed = sum(runs, "seal to seal (min)", |_| true) / 60.0;
    let told = job["bell_runs"]["seal_to_seal_h"].as_f64().expect("hours");
    agree("seal to seal, h", told, sealed, 0.02);
}

/// Divers: hours in the water of three files, oxygen taken and carbon dioxide given off of two.
fn divers(job: &Value, moved: &[Row], runs: &[Row], divers: &[Row]) {
    let water = sum(divers, "in water (h)", |_| true);
    let by_runs = sum(runs, "in the water, all divers (min)", |_| true) / 60.0;
    let told = job["bell_runs"]["in_water_h"].as_f64().expect("hours");
    agree("in the water, h", water, told, 0.1);
    agree("in the water by runs, h", by_runs, told, 0.1);
    for (column, species, from_bodies) in [
        ("oxygen used (mol)", "O2 (mol)", false),
        ("carbon dioxide given (mol)", "CO2 (mol)", true),
    ] {
        let end = if from_bodies { "from or place" } else { "to" };
        let all = sum(moved, species, |row| row[end] == "divers");
        let own = sum(divers, column, |_| true);
        agree(column, own, all, 0.002 * all);
    }
}

/// Absorbent: canisters by the log's acts, carbon dioxide by the ledger, kilograms by hand.
fn stores(job: &Value, moved: &[Row], log: &[Row]) {
    let stores = &job["stores"];
    let mut kg = 0.0;
    for scrubber in stores["absorbent"].as_array().expect("scrubbers") {
        let at = format!(
            "absorbent of {}",
            scrubber["compartment"].as_str().expect("a name")
        );
        let taken = sum(moved, "CO2 (mol)", |row| row["to"] == at);
        let told = scrubber["co2_mol"].as_f64().expect("moles");
        agree(&at, told, taken, 2e-3);
        let changed = scrubber["changed"].as_f64().expect("a count");
        kg += scrubber["canister_kg"].as_f64().expect("kg") * (changed + 1.0);
    }
    agree(
        "absorbent, kg",
        stores["absorbent_kg"].as_f64().expect("kg"),
        kg,
        0.01,
    );
    let written: usize = log
        .iter()
        .flat_map(|row| row.values())
        .map(|cell| cell.matches("absorbent changed after").count())
        .sum();
    assert_eq!(stores["canisters_changed"], written);
    assert!(
        stores["lock_runs"]
            .as_array()
            .is_some_and(|runs| !runs.is_empty())
    );
}

/// No number has more than eight digits in a row, before its point or after it.
#[test]
fn numbers_have_the_digits_that_they_have() {
    let folder = folder();
    let (_, said, _) = run(&folder, &["run", "short", "--out", "out"]);
    let (_, checked, _) = run(&folder, &["check", "short"]);
    let mut texts = vec![("run".to_owned(), said), ("check".to_owned(), checked)];
    for entry in std::fs::read_dir(folder.path().join("out")).expect("a folder") {
        let path = entry.expect("an entry").path();
        let text = std::fs::read_to_string(&path).expect("text");
        texts.push((path.display().to_string(), text));
    }
    for (name, text) in texts {
        for line in text.lines() {
            let mut words = line.split(|sign: char| !sign.is_ascii_digit());
            let long = words.find(|word| word.len() > 8);
            assert_eq!(long, None, "{name}: {line:.300}");
        }
    }
}
