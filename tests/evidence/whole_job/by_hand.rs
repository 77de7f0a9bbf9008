//! Orders from a person beside the automatic stations: oxygen added by hand, with the automatic make-up off.

use super::built_in;
use deepstay::job::{Job, Options};
use deepstay::plant::{Order, SteelOrder};
use deepstay::record::{Entry, Machine, Station, ValveName, What};
use deepstay::units::*;
use std::sync::Arc;

/// What the bank gives in half a minute is what the chamber gains, within what six men breathe and what goes
/// through its open door meanwhile.
#[test]
fn oxygen_added_by_hand_is_what_the_chamber_gains() {
    let living = CompartmentId(0);
    let scenario = Arc::new(built_in("short"));
    let mut job = Job::new(scenario.clone(), Options::default());
    let mut entries: Vec<Entry> = Vec::new();
    let begin = 30 * 3600 + 1800;
    let _ = job.advance_to(begin - 60, &mut entries);
    let off = SteelOrder::Switch {
        compartment: living,
        machine: Machine::OxygenControl,
        on: false,
    };
    job.order(Station::Student, Order::Steel(off));
    let _ = job.advance_to(begin, &mut entries);
    let inside = |job: &Job| job.plant().air(living, job.now()).n_mol.0[1];
    let (before_mol, before_s) = (inside(&job), job.now());
    entries.clear();
    let set = |opening| {
        let valve = ValveName::Oxygen(living);
        Order::Steel(SteelOrder::Valve {
            valve,
            opening,
            purpose: Purpose::Oxygen,
        })
    };
    job.order(Station::Student, set(1.0));
    let _ = job.advance_to(begin + 30, &mut entries);
    job.order(Station::Student, set(0.0));
    let _ = job.advance_to(begin + 31, &mut entries);
    let job = job.finish(&mut entries);
    let into = |e: &Entry| match e.what {
        What::Moved {
            from: Place::Bank(_),
            to: Place::Compartment(c),
            purpose: Purpose::Oxygen,
            moles,
        } if c == living => moles.0[1],
        _ => 0.0,
    };
    let added: f64 = entries.iter().map(into).sum();
    let gained = inside(&job) - before_mol;
    println!(
        "{added:.3} mol by hand in {} s, the chamber has {gained:.3} mol more",
        job.now() - before_s
    );
    assert!(added > 1.0, "{added}");
    // A fifth, for what goes on meanwhile: six men at the heaviest work of the table, 0.87 L/min each at 0 degC and
    // 1 atm, take 0.12 mol in 31 s; the open door's 3 m3/min carries off, of what is added to 24 m3, 0.05 m3/s over
    // half of the time, 3 %; and what differed between the chambers before is exchanged besides.
    assert!((added - gained).abs() < 0.2 * added, "{added} {gained}");
    let opened = |e: &Entry| matches!(e.what, What::Valve { valve: ValveName::Oxygen(c), opening } if c == living && opening == 1.0);
    assert_eq!(entries.iter().filter(|e| opened(e)).count(), 1);
}
