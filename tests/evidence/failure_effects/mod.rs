//! Each kind of failure on each kind of vessel, bank and instrument: which way every reading goes, which alarms ring
//! and which do not, against a table written by hand before the program was asked
//! (`reference/data/failure_effects.csv`, which names its sources). What is printed is the table, row by row.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod situations;
mod table;

use deepstay::fault::FaultKind;
use deepstay::job::{Harm, Job, Options, Sitter};
use deepstay::record::{AlarmState, Entry, What};
use deepstay::units::*;
use deepstay::words::{Names, Words, limited};
use situations::Situation;
use std::collections::BTreeSet;
use std::fmt::Write;
use table::{Mark, Row};

/// Nobody at the stations, and harm ends nothing.
pub fn nobody() -> Options {
    let options = Options::default().stations(Sitter::Nobody);
    options.harm(Harm::GoesOn)
}

/// A job gone on for a while: what its instruments show in the end, and what rang.
struct Went {
    shows: Vec<f64>,
    rang: BTreeSet<String>,
}

fn go(mut job: Job, for_s: i64) -> Went {
    let mut entries: Vec<Entry> = Vec::new();
    let _ = job.advance_to(job.now() + for_s, &mut entries);
    let scenario = job.scenario().clone();
    let rang = entries.iter().filter_map(|e| match e.what {
        What::Alarm {
            name,
            state: AlarmState::Unacknowledged,
            ..
        } => Some(format!(
            "{} {} {} {}",
            scenario.compartment(name.compartment),
            limited(&name),
            name.bound.words(),
            name.severity.words()
        )),
        _ => None,
    });
    let count = scenario.steel.instruments.len() as u16;
    Went {
        shows: (0..count)
            .map(|k| job.plant().read(InstrumentId(k), job.now()))
            .collect(),
        rang: rang.collect(),
    }
}

#[test]
fn every_failure_moves_the_readings_it_must_and_rings_what_it_must() {
    let rows = table::rows();
    let all = [
        Situation::apart(),
        Situation::fed(),
        Situation::long(),
        Situation::water(),
        Situation::unfed(),
    ];
    let (mut wrong, mut tried) = (String::new(), 0);
    for row in &rows {
        let situation = all
            .iter()
            .find(|s| s.name == row.situation)
            .unwrap_or_else(|| panic!("no situation {}", row.situation));
        for thing in &row.things {
            let found = differences(situation, row, thing);
            tried += 1;
            let word = if found.is_empty() {
                "as by hand"
            } else {
                "DIFFERS"
            };
            println!("{:<6} {:<44} {thing:<24} {word}", row.situation, row.fault);
            for line in found {
                println!("         {line}");
                let _ = writeln!(wrong, "{} {} {thing}: {line}", row.situation, row.fault);
            }
        }
    }
    println!("{tried} failures, {} rows", rows.len());
    assert!(tried > 200, "{tried}");
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// What of a row is otherwise than by hand, in words.
fn differences(situation: &Situation, row: &Row, thing: &str) -> Vec<String> {
    let case = situation.case(&row.fault, thing);
    let without = go(case.without, situation.for_s);
    let before = go(case.with.clone(), 1).shows;
    let with = go(case.with, situation.for_s);
    let scenario = situation.job.scenario();
    let mut found = Vec::new();
    let marks = row.marks(&scenario.steel, thing);
    for (k, (instrument, mark)) in scenario.steel.instruments.iter().zip(&marks).enumerate() {
        let (shows, would) = (with.shows[k], without.shows[k]);
        let steps = (shows - would) / instrument.resolution;
        let holds = match mark {
            Mark::Up => steps > 1.001,
            Mark::Down => steps < -1.001,
            Mark::Still => steps.abs() < 1.001,
            Mark::UpOrStill => steps > -1.001,
            Mark::DownOrStill => steps < 1.001,
            Mark::Stands => shows == before[k],
            Mark::NotJudged => true,
        };
        let words = format!(
            "{} {would:.4} without, {shows:.4} with, {mark:?} by hand",
            instrument.name
        );
        if !holds {
            found.push(words);
        } else if *mark != Mark::Still {
            println!("       {words}");
        }
    }
    let rings: BTreeSet<_> = with.rang.difference(&without.rang).cloned().collect();
    let silent: BTreeSet<_> = without.rang.difference(&with.rang).cloned().collect();
    let list = |words: &[String]| -> BTreeSet<String> {
        words.iter().map(|w| table::named(w, thing)).collect()
    };
    let (must, may, missing) = (list(&row.rings), list(&row.may_ring), list(&row.silent));
    let mut say = |what: &str, names: BTreeSet<String>| {
        found.extend(names.into_iter().map(|n| format!("{what} {n}")));
    };
    say("missed alarm:", must.difference(&rings).cloned().collect());
    let either: BTreeSet<_> = must.union(&may).cloned().collect();
    say(
        "spurious alarm:",
        rings.difference(&either).cloned().collect(),
    );
    say(
        "rings all the same:",
        missing.difference(&silent).cloned().collect(),
    );
    let either: BTreeSet<_> = missing.union(&may).cloned().collect();
    say(
        "silenced alarm:",
        silent.difference(&either).cloned().collect(),
    );
    found
}

/// A failure to be tried: the job with it and without.
pub struct Case {
    with: Job,
    without: Job,
}

impl Case {
    /// A job with one failure more.
    pub fn of(without: Job, fault: FaultKind) -> Case {
        Case {
            with: without.fork(nobody(), Some(fault)),
            without,
        }
    }
}
