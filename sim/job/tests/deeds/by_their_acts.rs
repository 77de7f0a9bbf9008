//! Limits and alarms belong to the job, not to whoever sits there: a job that persons alone sit on, who give at the same
//! seconds the acts that the automatic watch gave, rings what that one rang, within two seconds of when it rang; and comes to the
//! same end.

use super::*;
use deepstay_core::fault::FaultKind;
use deepstay_core::record::{AlarmState, Fitness, LimitName, NoRecord};
use deepstay_scenario::Fault;

/// Alarms that came up, in their order, and when.
fn rung(entries: &[Entry]) -> Vec<(LimitName, i64)> {
    let raised = entries.iter().filter_map(|e| match e.what {
        What::Alarm {
            name,
            state: AlarmState::Unacknowledged,
            ..
        } => Some((name, e.at)),
        _ => None,
    });
    let mut raised: Vec<_> = raised.collect();
    raised.sort_unstable();
    raised
}

fn crossed(entries: &[Entry]) -> Vec<(LimitName, Truth, bool, i64)> {
    let crossed = entries.iter().filter_map(|e| match e.what {
        What::Limit {
            name,
            truth,
            outside,
            ..
        } => Some((name, truth, outside, e.at)),
        _ => None,
    });
    let mut crossed: Vec<_> = crossed.collect();
    crossed.sort_unstable_by_key(|(name, truth, _, at)| (*name, *truth as u8, *at));
    crossed
}

fn same_acts_same_alarms(scenario: Scenario, until_s: i64) {
    let scenario = Arc::new(scenario);
    let mut automatic = Vec::new();
    let mut job = Job::new(Arc::clone(&scenario), Options::default());
    job.keep_deeds();
    let _ = job.advance_to(until_s, &mut automatic);
    let acts = job.deeds().to_vec();
    assert!(acts.len() > 1000, "{} acts", acts.len());
    let mut by_hand = Vec::new();
    let persons = Options::default().stations(Sitter::Person);
    let (twin, _) = Job::replay(scenario, persons, &acts, until_s, &mut by_hand);
    assert!(!rung(&automatic).is_empty());
    // A hand acts at the end of the second in which the automatic watch acts in its middle.
    let (ours, theirs) = (rung(&by_hand), rung(&automatic));
    assert_eq!(ours.len(), theirs.len());
    for (ours, theirs) in ours.iter().zip(&theirs) {
        assert_eq!(ours.0, theirs.0);
        assert!((ours.1 - theirs.1).abs() <= 2, "{ours:?} {theirs:?}");
    }
    let (ours, theirs) = (crossed(&by_hand), crossed(&automatic));
    assert_eq!(ours.len(), theirs.len());
    for (ours, theirs) in ours.iter().zip(&theirs) {
        assert_eq!((ours.0, ours.1, ours.2), (theirs.0, theirs.1, theirs.2));
        assert!((ours.3 - theirs.3).abs() <= 2, "{ours:?} {theirs:?}");
    }
    assert_eq!(twin.ended(), job.ended());
    // By hand it is over when the surface was said and everybody is on deck; the automatic watch looks again first.
    assert!((0..=120).contains(&(job.now() - twin.now())));
    for diver in job.crew().ids() {
        assert_eq!(
            twin.crew().whereabouts(diver),
            job.crew().whereabouts(diver)
        );
        assert_eq!(twin.crew().fitness(diver), Fitness::Well);
    }
    // And by the gauge of every bank, to what can be read off: nothing was drawn by one that was not by the other.
    for (b, plate) in (0u8..).map(BankId).zip(&job.scenario().steel.banks) {
        let of = |job: &Job| job.plant().bank_moles(b, job.now());
        let (ours, theirs) = (of(&twin), of(&job));
        assert!(
            (ours / theirs - 1.0).abs() < 1e-6,
            "{}: {ours} {theirs}",
            plate.name
        );
    }
}

/// The whole short job, from the first pressure until everybody is on deck.
#[test]
fn of_the_short_job() {
    same_acts_same_alarms(short(), i64::MAX);
}

/// Two days of it in which fans stop, a chamber leaks, and oxygen hangs open.
#[test]
fn of_bad_days() {
    let living = named(&short(), "Living");
    let mut scenario = short();
    for (at, for_s, what) in [
        (
            50_000,
            9_000,
            FaultKind::FanStop {
                compartment: living,
            },
        ),
        (
            90_000,
            20_000,
            FaultKind::Leak {
                compartment: living,
                area_m2: 4e-6,
                hull_stop: true,
            },
        ),
        (
            140_000,
            1_200,
            FaultKind::StuckValve {
                valve: deepstay_core::record::ValveName::Oxygen(living),
                opening: 0.2,
            },
        ),
    ] {
        scenario = scenario.with_fault(Fault {
            at,
            until: Some(at + for_s),
            what,
        });
    }
    same_acts_same_alarms(scenario, 2 * 86_400);
}

/// What is kept begins when it is asked for.
#[test]
fn nothing_is_kept_unasked() {
    let mut job = Job::new(Arc::new(short()), Options::default());
    let _ = job.advance_to(3600, &mut NoRecord);
    assert!(job.deeds().is_empty());
}
