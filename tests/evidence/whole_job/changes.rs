//! Crew changes at equal pressure: the divers of the twelve-man job go from chamber to chamber through a
//! passage of their own, and the bell and its trunk are left alone.

use super::{Ran, built_in, run};
use deepstay::job::Options;
use deepstay::record::{DoorState, Entry, What, Whereabouts};
use deepstay::units::*;

fn named(ran: &Ran, name: &str) -> CompartmentId {
    let at = ran
        .job
        .scenario()
        .steel
        .compartments
        .iter()
        .position(|c| c.name == name);
    CompartmentId(u8::try_from(at.expect("it is on the spread")).expect("few"))
}

#[test]
fn the_twelve_men_change_chambers_through_the_passage() {
    let ran = run(built_in("twelve-man"), Options::default(), &[]);
    let scenario = ran.job.scenario().clone();
    let passage = named(&ran, "Passage");
    let first = scenario
        .plan
        .moves
        .iter()
        .map(|m| m.at)
        .min()
        .expect("moves are planned");
    let opened = |c: CompartmentId| -> Vec<i64> {
        let mine = |e: &&Entry| match e.what {
            What::Door {
                door,
                state: DoorState::Open,
            } => {
                let plate = &scenario.steel.doors[door.index()];
                !plate.clamp && (plate.a == c || plate.b == Some(c))
            }
            _ => false,
        };
        ran.entries.iter().filter(mine).map(|e| e.at).collect()
    };
    for planned in &scenario.plan.moves {
        for &diver in &planned.divers {
            let there = ran.entries.iter().find(|e| {
                e.at >= planned.at
                    && e.what
                        == What::Diver {
                            diver,
                            to: Whereabouts::In(planned.to),
                        }
            });
            let at = there.expect("he gets there").at;
            println!(
                "{diver:?} is in {:?} after {} min",
                planned.to,
                (at - planned.at) / 60
            );
            assert!(at < planned.at + 3600);
        }
    }
    let shut = |at: i64| {
        scenario
            .plan
            .bell_runs
            .iter()
            .all(|r| r.at > at || at > r.at + 9 * 3600)
    };
    let used = opened(passage);
    assert!(
        used.len() >= 2 && used.iter().all(|at| *at >= first),
        "{used:?}"
    );
    let trunk: Vec<i64> = opened(named(&ran, "Trunk"))
        .into_iter()
        .filter(|at| shut(*at))
        .collect();
    println!("trunk opened outside bell runs at {trunk:?}");
    assert!(trunk.is_empty(), "the trunk is opened for bell runs alone");
    let left_msw = ran
        .job
        .plant()
        .truth(passage, Quantity::Depth, ran.job.now());
    assert!(
        left_msw.abs() < 0.3,
        "the passage is vented after the last move: {left_msw} msw"
    );
}
