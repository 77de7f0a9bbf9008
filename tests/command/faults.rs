//! What a run says of its planned faults, each with its first sign, alarm and act, and what gas it cost: in
//! `faults.csv`, and on the page over one time axis.

use super::{folder, run};
use std::fs;

/// The rows of `faults.csv` of a built-in job, and its page.
fn faults(job: &str) -> (Vec<csv::StringRecord>, String) {
    faults_in(&folder(), job)
}

fn faults_in(f: &tempfile::TempDir, job: &str) -> (Vec<csv::StringRecord>, String) {
    let (code, _, err) = run(f, &["run", job, "--out", "o", "-q"]);
    assert!(code < 3, "{err}");
    let file = f.path().join("o/faults.csv");
    let mut rows = csv::Reader::from_path(file).expect("written");
    let rows = rows.records().map(|r| r.expect("a row")).collect();
    let page = fs::read_to_string(f.path().join("o/report.html")).expect("written");
    (rows, page)
}

/// By hand from `bad-night.ron`: the fan of the living chamber, which stops at 42 h, is found within a round of the
/// panel (half an hour) and is switched on at once; the hanging oxygen valve rings and is shut off at the bank; of the
/// leak nobody is told anything, but it costs gas.
#[test]
fn the_faults_of_the_bad_night_are_told_with_what_came_of_them() {
    let (rows, page) = faults("bad-night");
    assert_eq!(rows.len(), 5);
    let row = |number: usize| -> Vec<&str> { rows[number - 1].iter().collect() };
    for (i, row) in rows.iter().enumerate() {
        println!("{row:?}");
        assert_eq!(row[0], (i + 1).to_string());
        for (after, words) in [(5, 6), (7, 8), (9, 10)] {
            assert_eq!(row[after].is_empty(), row[words].is_empty(), "{row:?}");
        }
    }
    let fan = row(3);
    assert_eq!(fan[1..3], ["scrubber fan of Living stopped", "151200"]);
    assert!(fan[5].parse::<f64>().expect("minutes") <= 30.0, "{fan:?}");
    let found = "scrubber fan found stopped, found by saturation control";
    assert_eq!((fan[6], fan[9]), (found, fan[5]));
    assert_eq!((fan[10], fan[11]), ("scrubber fan on", "0.00"));
    let hangs = row(4);
    assert_eq!(hangs[1], "Living oxygen valve stuck 4 % open");
    assert!(
        hangs[8].starts_with("ALARM (attention) ppO2 high"),
        "{hangs:?}"
    );
    assert_eq!(hangs[10], "oxygen shut off at the bank");
    // Nothing rings for the leak: it is the make-up that shows it, and somebody goes round.
    let leak = row(2);
    assert!(leak[5].parse::<f64>().expect("minutes") <= 30.0, "{leak:?}");
    let found = "made up oftener than locks, drains and cooling explain, leak looked for, found by saturation control";
    assert_eq!(leak[6..11].concat(), found, "no alarm, and no act after it");
    // Choked flow through 2 mm for an hour, by hand: 3.14 mm2 x 7.0 bar x 0.726 / sqrt(R x 300 K x 8.5 g/mol) is
    // 0.35 mol/s of helium with the oxygen and nitrogen of the air that was pressed, 30 m3 in the hour; a hole gives
    // six to ten tenths of it.
    let lost_m3: f64 = row(2)[11].parse().expect("m3");
    assert!((18.0..30.0).contains(&lost_m3), "{lost_m3}");
    for told in [
        "What went wrong, and what came of it",
        "fault 5",
        "◇",
        "▲",
        "●",
    ] {
        assert!(page.contains(told), "{told}");
    }
}

/// A hole of 12 mm instead: within the minute in which depth is seen to go, gas is given with the blow-down open and
/// everybody takes a mask. That is the first act, and not the first bank that is lined up afterwards.
#[test]
fn the_first_act_against_a_great_leak_is_the_first_that_was_done() {
    let f = folder();
    let (code, _, err) = run(&f, &["new", "night", "--from", "bad-night"]);
    assert_eq!(code, 0, "{err}");
    let path = f.path().join("night.ron");
    let text = fs::read_to_string(&path).expect("written");
    let small = "Leak(compartment: \"Transfer\", bore: \"2 mm\")";
    let great = "Leak(compartment: \"Living\", bore: \"12 mm\")";
    assert!(text.contains(small));
    fs::write(&path, text.replace(small, great)).expect("written");
    let (rows, _) = faults_in(&f, "night.ron");
    let leak: Vec<&str> = rows[1].iter().collect();
    let (sign, act) = (leak[5].parse::<f64>(), leak[9].parse::<f64>());
    assert!(
        act.expect("minutes") - sign.expect("minutes") <= 1.0,
        "{leak:?}"
    );
    assert_eq!(leak[10], "Living blow-down opened 100 %");
}

#[test]
fn a_job_without_faults_says_nothing_of_them() {
    let (rows, page) = faults("short");
    assert!(rows.is_empty() && !page.contains("What went wrong"));
}
