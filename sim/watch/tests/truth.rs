//! Nothing true is in what a watch can see: a fault that no instrument, lamp or voice shows yet leaves it as it was, to
//! the last bit, in every built-in job; and its numbers are those of its instruments.

use deepstay_core::fault::FaultKind;
use deepstay_core::record::{Audience, Sitter, What};
use deepstay_core::units::*;
use deepstay_job::{Indicated, Job, Options};
use deepstay_plant::SamplePoint;
use deepstay_scenario::{JOBS, Scenario};
use deepstay_watch::{Session, Start};
use std::sync::Arc;

const HOUR_S: i64 = 3600;

fn jobs() -> Vec<(Arc<Scenario>, Vec<Job>)> {
    let one = |name: &str| {
        let scenario = deepstay_scenario::load(name).unwrap_or_else(|bad| panic!("{bad}"));
        let scenario = Arc::new(scenario);
        let mut job = Job::new(Arc::clone(&scenario), Options::default());
        let at = [5, 16, 30].map(|hour| {
            let _ = job.advance_to(hour * HOUR_S + 17, &mut Vec::new());
            job.clone()
        });
        (scenario, at.to_vec())
    };
    JOBS.iter().map(|built_in| one(built_in.name)).collect()
}

/// What is seen in the second after a fault came, or did not.
fn a_second_on(job: &Job, fault: Option<FaultKind>) -> Indicated {
    let nobody = Options::default().stations(Sitter::Nobody);
    let mut job = job.fork(nobody, fault);
    let next_s = job.now() + 1;
    let _ = job.advance_to(next_s, &mut Vec::new());
    job.indicated()
}

/// Handles that stick where they stand, instruments that begin to drift, freeze as they are, or are moved to where they
/// are: truly another job, and to whoever sits there the same.
#[test]
fn a_fault_that_nothing_shows_yet_changes_nothing_that_is_seen() {
    let mut tried = 0;
    for (scenario, at) in jobs() {
        for job in at {
            let before = a_second_on(&job, None);
            let handles = before.vessels.iter().flat_map(|v| &v.handles);
            let stuck = handles.map(|(valve, opening)| FaultKind::StuckValve {
                valve: *valve,
                opening: *opening,
            });
            let instruments = (0u16..).map(InstrumentId).zip(&scenario.steel.instruments);
            let of_instruments = instruments.flat_map(|(instrument, plate)| {
                let drift = FaultKind::Drift {
                    instrument,
                    span_per_s: 0.0,
                    zero_per_s: 1e-9,
                };
                let crossed = match plate.labelled {
                    SamplePoint::Compartment(to) => {
                        Some(FaultKind::CrossConnected { instrument, to })
                    }
                    SamplePoint::Bank(_) | SamplePoint::Sea(_) => None,
                };
                [Some(drift), crossed].into_iter().flatten()
            });
            for fault in stuck.chain(of_instruments) {
                let seen = a_second_on(&job, Some(fault));
                assert_eq!(
                    seen,
                    before,
                    "{} at {}: {fault:?}",
                    scenario.name,
                    job.now()
                );
                tried += 1;
            }
        }
    }
    assert!(tried > 1000, "{tried}");
}

/// What the feed of a watch holds is for panel and voice, whatever goes wrong behind it; and the readings are those of
/// the instruments, not of what they measure.
#[test]
fn the_feed_of_a_bad_night_tells_nothing_true() {
    for built_in in JOBS.iter() {
        let scenario = deepstay_scenario::load(built_in.name).unwrap_or_else(|bad| panic!("{bad}"));
        if scenario.faults.is_empty() {
            continue;
        }
        let last = scenario.faults.iter().map(|f| f.at).max().unwrap_or(0) + 6 * HOUR_S;
        let scenario = Arc::new(scenario);
        let start = Start::At(last.min(scenario.plan.end_s - 1));
        let session = Session::begin(scenario, Options::default(), start, |_| true);
        assert!(session.feed().len() > 100, "{}", built_in.name);
        for entry in session.feed().entries() {
            assert_ne!(entry.what.audience(), Audience::Truth, "{entry:?}");
            let hidden = matches!(
                entry.what,
                What::Fault { .. } | What::Moved { .. } | What::Fitness { .. }
            );
            assert!(!hidden, "{entry:?}");
        }
    }
}
