//! The same bits however a job is gone through: leaping or looking at every second, polled or not,
//! logged or not, saved and taken up again, with the same seed. And what a drifted analyser does.

use super::{built_in, run, run_to};
use deepstay::job::{Job, Options};
use deepstay::record::{AlarmState, NoRecord, What};
use deepstay::scenario::{Fault, FaultKind};
use deepstay::units::*;
use std::sync::Arc;

/// What a reading may lie beside the band for its lag and its own error, bar.
const MARGIN_BAR: f64 = 0.004;
const LIVING: CompartmentId = CompartmentId(0);

fn leaps_as_it_would_look(name: &str, most_days: i64) {
    let scenario = built_in(name);
    let end_s = scenario.plan.end_s.min(most_days * 86_400);
    let leapt = run_to(scenario, Options::default(), &[], end_s);
    let looked = run_to(built_in(name), Options::default().leap(false), &[], end_s);
    assert!(
        leapt.log_csv() == looked.log_csv(),
        "{name}: log.csv differs"
    );
    assert!(
        leapt.ledger_csv() == looked.ledger_csv(),
        "{name}: ledger.csv differs"
    );
    assert_eq!(leapt.bits(), looked.bits(), "{name}");
    assert_eq!(leapt.job.now(), looked.job.now(), "{name}");
    assert_eq!(leapt.job.state_hash(), looked.job.state_hash(), "{name}");
    let (a, b) = (
        leapt.job.plant().evaluations(),
        looked.job.plant().evaluations(),
    );
    println!("{name}: evaluated {a} leaping, {b} looking at every second");
    assert!(a < b);
}

#[test]
fn leaping_gives_the_log_of_looking_at_every_second_of_a_short_job_and_a_bad_night() {
    leaps_as_it_would_look("short", 7);
    leaps_as_it_would_look("bad-night", 7);
}

#[test]
fn leaping_gives_the_log_of_looking_at_every_second_of_thirty_days_of_six_men() {
    leaps_as_it_would_look("six-man", 60);
}

#[test]
fn leaping_gives_the_log_of_looking_at_every_second_of_a_week_of_nine_men() {
    leaps_as_it_would_look("nine-man", 7);
}

#[test]
fn leaping_gives_the_log_of_looking_at_every_second_of_a_week_of_twelve_men() {
    leaps_as_it_would_look("twelve-man", 7);
}

#[test]
fn stops_polls_and_a_dropped_log_change_no_bit() {
    let scenario = Arc::new(built_in("short"));
    let whole = run(built_in("short"), Options::default(), &[]);
    let stops: Vec<i64> = (1..2000).map(|k| k * 311).collect();
    let stopped = run(built_in("short"), Options::default(), &stops);
    assert_eq!(whole.bits(), stopped.bits());
    assert_eq!(whole.job.state_hash(), stopped.job.state_hash());
    let mut unlogged = Job::new(scenario.clone(), Options::default());
    let _ = unlogged.advance_to(scenario.plan.end_s, &mut NoRecord);
    assert_eq!(unlogged.now(), whole.job.now());
    let now = unlogged.now();
    assert_eq!(
        unlogged.plant().holdings(now),
        whole.job.plant().holdings(now)
    );
}

#[test]
fn how_often_the_log_is_written_changes_no_bit() {
    let whole = run(built_in("short"), Options::default(), &[]);
    let acts = |ran: &super::Ran| -> Vec<deepstay::record::Entry> {
        let act = |e: &&deepstay::record::Entry| {
            matches!(
                e.what,
                What::Valve { .. }
                    | What::LinedUp { .. }
                    | What::Door { .. }
                    | What::Machine { .. }
            )
        };
        ran.entries.iter().filter(act).copied().collect()
    };
    for every_s in [420, 3600] {
        let mut scenario = built_in("short");
        scenario.log_every_s = every_s;
        let other = run(scenario, Options::default(), &[]);
        assert_eq!(whole.bits(), other.bits(), "a row every {every_s} s");
        assert_eq!(acts(&whole), acts(&other), "a row every {every_s} s");
    }
}

#[test]
fn a_saved_job_goes_on_to_the_same_bits() {
    goes_on("short", &[1, 1237, 40_000, 150_001, 400_003]);
}

/// The second after each fault has come, and the second at which it goes.
#[test]
fn a_bad_night_saved_goes_on_to_the_same_bits() {
    let night = built_in("bad-night");
    let seconds: Vec<i64> = night
        .faults
        .iter()
        .flat_map(|f| [Some(f.at + 1), f.until])
        .flatten()
        .collect();
    goes_on("bad-night", &seconds);
}

fn goes_on(name: &str, seconds: &[i64]) {
    let scenario = Arc::new(built_in(name));
    let whole = run(built_in(name), Options::default(), &[]);
    for at in seconds.iter().copied() {
        let mut first = Job::new(scenario.clone(), Options::default());
        let _ = first.advance_to(at, &mut NoRecord);
        let bytes = first.save();
        drop(first);
        let mut second = Job::restore(&bytes, scenario.clone()).expect("it was just saved");
        let _ = second.advance_to(scenario.plan.end_s, &mut NoRecord);
        let now = second.now();
        assert_eq!(now, whole.job.now(), "saved at {at}");
        assert_eq!(
            second.plant().holdings(now),
            whole.job.plant().holdings(now),
            "saved at {at}"
        );
        let second = second.finish(&mut NoRecord);
        assert_eq!(second.state_hash(), whole.job.state_hash(), "saved at {at}");
    }
}

#[test]
fn another_seed_is_another_job() {
    let one = run(built_in("short"), Options::default(), &[]);
    let mut scenario = built_in("short");
    scenario.seed = 2;
    let two = run(scenario, Options::default(), &[]);
    assert_ne!(one.bits(), two.bits());
}

#[test]
fn two_analysers_that_drift_alike_keep_in_band_and_nobody_notices_before_the_calibration() {
    let mut scenario = built_in("short");
    let primary = scenario
        .steel
        .instrument(LIVING, Quantity::PpO2, Channel::Primary)
        .expect("there is one");
    // Within twenty minutes both come to read 0.04 bar low, a band's width, and stay so until they are calibrated;
    // of one alone the other would tell.
    let from = 30 * 3600 + 1500;
    let secondary = scenario
        .steel
        .instrument(LIVING, Quantity::PpO2, Channel::Secondary)
        .expect("there are two");
    let drift = |instrument| Fault {
        at: from,
        until: Some(from + 1200),
        what: FaultKind::Drift {
            instrument,
            span_per_s: 0.0,
            zero_per_s: -0.04 / 1200.0,
        },
    };
    scenario.faults = vec![drift(primary), drift(secondary)];
    let ran = run(scenario, Options::default(), &[]);
    let calibrated = ran
        .entries
        .iter()
        .find(|e| {
            e.at > from
                && matches!(e.what, What::Calibrated { instrument, .. } if instrument == primary)
        })
        .map(|e| e.at)
        .expect("it is calibrated in the end");
    let band = deepstay::rules::builtin("demonstration")
        .expect("loads")
        .storage_oxygen(&[])
        .expect("has a row");
    let (mut shown_in, mut true_out, mut alarms) = (0, 0, 0);
    for e in ran
        .entries
        .iter()
        .filter(|e| e.at > from + 1200 && e.at < calibrated)
    {
        match e.what {
            What::Logged {
                compartment: LIVING,
                quantity: Quantity::PpO2,
                channel: Channel::Primary,
                truth,
                value,
            } => {
                let inside =
                    (band.low_bar - MARGIN_BAR..=band.high_bar + MARGIN_BAR).contains(&value);
                match truth {
                    Truth::Shown => {
                        assert!(inside, "second {}: shown {value}", e.at);
                        shown_in += 1;
                    }
                    Truth::True if !inside => true_out += 1,
                    Truth::True => {}
                }
            }
            // One that falls silent is none that rings.
            What::Alarm {
                name,
                state: AlarmState::Unacknowledged,
                ..
            } if (name.compartment, name.quantity) == (LIVING, Quantity::PpO2) => alarms += 1,
            _ => {}
        }
    }
    println!(
        "shown in band {shown_in} times, true out of it {true_out} times, {alarms} alarms, calibrated after {} min",
        (calibrated - from) / 60
    );
    assert!(shown_in > 0 && true_out > 0 && alarms == 0);
}
