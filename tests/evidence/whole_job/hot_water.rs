//! Hot water lost with divers out: they are cold, say so, and dive control has them back in the bell (common
//! practice, no source).

use super::built_in;
use deepstay::job::{Job, Options};
use deepstay::plant::{Order, SteelOrder};
use deepstay::record::{Entry, Machine, Spoken, Station, Stopped, What, Whereabouts};
use deepstay::units::*;
use std::sync::Arc;

/// The bell whose divers are out, if some are.
fn out_of(job: &Job) -> Option<CompartmentId> {
    (0..job.scenario().crew.len() as u8).find_map(|d| match job.crew().whereabouts(DiverId(d)) {
        Whereabouts::Water(bell) => Some(bell),
        Whereabouts::Deck | Whereabouts::In(_) => None,
    })
}

#[test]
fn who_loses_hot_water_is_called_back_at_once() {
    let mut entries: Vec<Entry> = Vec::new();
    let mut job = Job::new(Arc::new(built_in("short")), Options::default());
    while out_of(&job).is_none() {
        let _ = job.advance_to(job.now() + 300, &mut entries);
        assert!(job.ended().is_none(), "nobody ever went out");
    }
    let bell = out_of(&job).expect("somebody is out");
    assert!(job.plant().positions().hot_water(bell));
    let _ = job.advance_to(job.now() + 300, &mut entries);
    let off_s = job.now();
    let off = SteelOrder::Switch {
        compartment: bell,
        machine: Machine::HotWater,
        on: false,
    };
    job.order(Station::Student, Order::Steel(off));
    let _ = job.advance_to(off_s + 3600, &mut entries);
    let first = |wanted: &dyn Fn(&What) -> bool| {
        entries
            .iter()
            .find(|e| e.at >= off_s && wanted(&e.what))
            .map(|e| e.at - off_s)
    };
    let cold_s = first(&|w| {
        matches!(
            w,
            What::Said {
                report: Spoken::Cold,
                ..
            }
        )
    })
    .expect("somebody is cold");
    let called_s = first(&|w| {
        matches!(
            w,
            What::BellStopped {
                why: Stopped::Diver,
                ..
            }
        )
    })
    .expect("they are called back");
    println!("cold after {cold_s} s, called back after {called_s} s");
    assert!(cold_s <= 600 && called_s <= cold_s + 60);
    assert_eq!(out_of(&job), None, "still out an hour later");
}
