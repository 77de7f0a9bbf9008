//! One stream out: what is set on the panel leaves an entry with the station whose act it was, and each row of the
//! rule set that answers is told of when it does, once, and again with every timetable that is taken up.

use deepstay_core::record::{Entry, Phase, RuleRows, Sink, Station, What};
use deepstay_core::units::*;
use deepstay_job::{Halt, Job, Options};
use deepstay_plant::{Order, SteelOrder};
use deepstay_scenario::{LevelDo, Scenario};
use std::collections::BTreeSet;
use std::sync::Arc;

const LIVING: CompartmentId = CompartmentId(0);

fn short() -> Arc<Scenario> {
    Arc::new(deepstay_scenario::load("short").unwrap_or_else(|bad| panic!("{bad}")))
}

fn whole(scenario: &Arc<Scenario>) -> Vec<Entry> {
    let mut entries = Vec::new();
    let mut job = Job::new(scenario.clone(), Options::default());
    let Halt::Ended(_) = job.advance_to(i64::MAX, &mut entries) else {
        panic!("every job ends")
    };
    job.finish(&mut entries);
    entries
}

/// Ids of the rows that the entries tell of.
fn ids(scenario: &Scenario, rows: impl IntoIterator<Item = RuleRowId>) -> BTreeSet<String> {
    let list = scenario.rules.row_list();
    rows.into_iter()
        .map(|row| list[row.index()].id.clone())
        .collect()
}

#[test]
fn what_a_student_sets_is_told_as_his() {
    let scenario = short();
    let mut job = Job::new(scenario, Options::default());
    let mut entries: Vec<Entry> = Vec::new();
    let _ = job.advance_to(100_000, &mut entries);
    entries.clear();
    let (ppo2_bar, band_bar) = (0.41, 0.02);
    let (t_k, humidity) = (302.15, 0.5);
    let (compartment, bell) = (LIVING, CompartmentId(200));
    for order in [
        SteelOrder::OxygenSet {
            compartment,
            ppo2_bar,
            band_bar,
        },
        SteelOrder::ClimateSet {
            compartment,
            t_k,
            humidity,
        },
        // What is refused is told as refused, and as nothing else.
        SteelOrder::Bell { bell, to_msw: 50.0 },
    ] {
        job.order(Station::Student, Order::Steel(order));
    }
    let _ = job.advance_to(100_001, &mut entries);
    let station = Station::Student;
    let told = |what: &What| entries.iter().filter(|e| e.what == *what).count();
    assert_eq!(
        told(&What::OxygenSet {
            station,
            compartment,
            ppo2_bar,
            band_bar
        }),
        1
    );
    assert_eq!(
        told(&What::ClimateSet {
            station,
            compartment,
            t_k,
            humidity
        }),
        1
    );
    let sent = entries
        .iter()
        .any(|e| matches!(e.what, What::BellSent { .. }));
    let refused = |e: &Entry| {
        matches!(
            e.what,
            What::Refused {
                station: Station::Student,
                ..
            }
        )
    };
    assert!(!sent && entries.iter().any(refused));
}

#[test]
fn the_bell_is_told_of_when_it_is_sent_down_and_called_back() {
    let scenario = short();
    let entries = whole(&scenario);
    let sent: Vec<f64> = entries
        .iter()
        .filter_map(|e| match e.what {
            What::BellSent {
                station: Station::Dive,
                to_msw,
                ..
            } => Some(to_msw),
            _ => None,
        })
        .collect();
    let made = entries
        .iter()
        .filter(|e| {
            matches!(
                e.what,
                What::BellPhase {
                    phase: deepstay_core::record::BellPhase::Lowering,
                    ..
                }
            )
        })
        .count();
    assert!(made > 0);
    assert_eq!(sent.len(), 2 * made);
    for pair in sent.chunks(2) {
        assert_eq!(pair[0], scenario.plan.bell_runs[0].depth_msw);
        assert_eq!(pair[1], 0.0);
    }
}

#[test]
fn the_rows_told_of_are_those_that_answered() {
    let scenario = short();
    let entries = whole(&scenario);
    let mut record = RuleRows::default();
    entries.iter().for_each(|e| record.take(*e));
    let (rules, accepted) = (&scenario.rules, &scenario.accepted[..]);
    // Once each, but for timetables.
    let once: Vec<RuleRowId> = entries
        .iter()
        .filter_map(|e| match e.what {
            What::RuleRow {
                row,
                timetable_of: None,
            } => Some(row),
            _ => None,
        })
        .collect();
    assert_eq!(once.iter().collect::<BTreeSet<_>>().len(), once.len());
    // The timetables: the way down and the way up of the plan, asked of the set apart.
    let at = |phase| {
        entries
            .iter()
            .find(|e| {
                e.what
                    == What::Phase {
                        compartment: LIVING,
                        phase,
                    }
            })
            .map(|e| e.at)
            .expect("it came to that")
    };
    let LevelDo::Press(to_msw) = scenario.plan.levels[0].steps[0].what else {
        panic!("it begins by pressing")
    };
    let down = rules.press(0.0, to_msw, accepted).expect("the set has it");
    let taken = |phase| ids(&scenario, record.timetable(at(phase), LIVING));
    assert_eq!(
        taken(Phase::Compression),
        down.rows.iter().cloned().collect()
    );
    let clock = (scenario.start_second_of_day + at(Phase::Decompression)).rem_euclid(86_400);
    let up = rules
        .decompression(to_msw, clock, accepted)
        .expect("the set has it");
    assert_eq!(
        taken(Phase::Decompression),
        up.rows.iter().cloned().collect()
    );
    // Everything else that stands under a figure used, and nothing that nobody asked.
    let used = ids(&scenario, record.used().map(|(row, _)| row));
    let oxygen = rules.storage_oxygen(accepted).expect("the set has it").id;
    let held = rules.limits(Phase::Storage, to_msw, accepted);
    for id in down
        .rows
        .iter()
        .chain(&up.rows)
        .chain([&oxygen])
        .chain(held.iter().map(|l| &l.id))
    {
        assert!(used.contains(id), "{id} answered");
    }
    if let Ok(hygiene) = rules.hygiene(accepted) {
        assert!(used.contains(&hygiene.id), "the stations go by it");
    }
    let new = |e: &&Entry| {
        matches!(
            e.what,
            What::RuleRow { .. }
                | What::OxygenSet { .. }
                | What::ClimateSet { .. }
                | What::BellSent { .. }
        )
    };
    println!(
        "{} entries, {} of rows and settings; rows used: {used:?}",
        entries.len(),
        entries.iter().filter(new).count()
    );
}
