//! A turn that the sea does not allow, in a whole job: lost, or moved with all that follow. The sea is over the
//! limit from hour 20 to hour 30; turns are due at hours 8, 16, 24, 32 and so on.

use super::{made, run};
use deepstay::job::Options;
use deepstay::record::{BellPhase, Stopped, What};
use deepstay::scenario::Slip;
use std::collections::BTreeMap;

/// When each run began its check sheet, h after it was due; and the runs lost to the sea before they began.
fn turns(slip: Slip) -> (BTreeMap<u16, f64>, Vec<u16>) {
    let scenario = made::rough(slip);
    let due: Vec<i64> = scenario.plan.bell_runs.iter().map(|r| r.at).collect();
    assert_eq!(due[2], 24 * 3600, "the third turn falls into the storm");
    let ran = run(scenario, Options::default(), &[]);
    let (mut begun, mut lost) = (BTreeMap::new(), Vec::new());
    for e in &ran.entries {
        match e.what {
            What::BellPhase {
                run,
                phase: BellPhase::Checks,
                ..
            } => {
                begun.insert(run, (e.at - due[usize::from(run)]) as f64 / 3600.0);
            }
            What::BellStopped {
                run,
                why: Stopped::Weather,
                ..
            } if !begun.contains_key(&run) => lost.push(run),
            _ => {}
        }
    }
    println!("{slip:?}: begun {begun:?}, lost {lost:?}");
    (begun, lost)
}

#[test]
fn a_turn_in_a_storm_is_lost_where_the_scenario_says_skip() {
    let (begun, lost) = turns(Slip::Skip);
    assert_eq!(lost, [2]);
    assert!(
        begun.values().all(|late_h| *late_h < 2.0),
        "the others keep their time"
    );
    assert!(begun.contains_key(&3));
}

#[test]
fn a_turn_in_a_storm_and_all_that_follow_move_where_the_scenario_says_shift() {
    let (begun, lost) = turns(Slip::Shift);
    assert!(lost.is_empty(), "{lost:?}");
    assert!(begun[&0] < 1.0 && begun[&1] < 1.0);
    for run in [2, 3, 4] {
        assert!(
            (6.0..8.0).contains(&begun[&run]),
            "run {run}: {} h",
            begun[&run]
        );
    }
}
