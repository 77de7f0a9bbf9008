//! Dive control before the fake plant: a seal that leaks told from one that cools, a bell kept warm from its
//! first pressing to its last run, and orders that nothing refuses.

use super::fake::Rig;
use super::tests::{BELL, HOUR, at_storage, bell_phase, scenario};
use crate::plant::{Climate, Order, SteelOrder};
use crate::record::{BellPhase, Machine, Stopped, What};

/// To the middle of the first run's watched seal.
fn in_the_seal() -> Rig {
    let mut rig = at_storage();
    while rig.first(bell_phase(BellPhase::Seal)).is_none() {
        rig.run_to(rig.fake.now + 10);
        assert!(rig.fake.now < 40 * HOUR);
    }
    rig.run_to(rig.fake.now + 60);
    rig
}

fn stopped(rig: &Rig) -> usize {
    rig.count(|w| {
        matches!(
            w,
            What::BellStopped {
                why: Stopped::Checks,
                ..
            }
        )
    })
}

#[test]
fn a_bell_that_cools_in_its_seal_goes_on() {
    let mut rig = in_the_seal();
    // From 300 K to 297 K at one volume: 1.01325 + 6 bar falls by 0.070 bar, which is 0.70 msw.
    rig.fake.p_pa[BELL.index()] *= 297.0 / 300.0;
    rig.fake.shown_k[BELL.index()] = 297.0;
    rig.run_to(rig.fake.now + HOUR);
    assert_eq!(stopped(&rig), 0);
    assert!(rig.first(bell_phase(BellPhase::Lowering)).is_some());
}

#[test]
fn the_same_fall_at_one_temperature_is_a_leak() {
    let mut rig = in_the_seal();
    rig.fake.p_pa[BELL.index()] *= 297.0 / 300.0;
    rig.run_to(rig.fake.now + HOUR);
    assert_eq!(stopped(&rig), 1);
    assert!(rig.first(bell_phase(BellPhase::Lowering)).is_none());
}

#[test]
fn a_leak_that_warming_hides_is_found() {
    let mut rig = in_the_seal();
    rig.fake.shown_k[BELL.index()] = 303.0;
    rig.run_to(rig.fake.now + HOUR);
    assert_eq!(stopped(&rig), 1);
}

#[test]
fn a_bell_in_use_is_kept_warm_between_its_runs() {
    let mut s = scenario();
    s.steel.compartments[BELL.index()].climate = Some(Climate {
        heater_w: 4000.0,
        chiller_w: 0.0,
        coil_m3_s: 0.01,
        coil_t_k: 283.0,
        coil_contact: 0.8,
        band_k: 1.0,
    });
    let mut rig = Rig::new(s);
    rig.run_to(8 * 24 * HOUR);
    let climate = |on: bool| {
        let given = rig.fake.orders.iter().filter(|(_, o)| {
            matches!(o, Order::Steel(SteelOrder::Switch { compartment: BELL, machine: Machine::Climate, on: x }) if *x == on)
        });
        given.map(|(at, _)| *at).collect::<Vec<i64>>()
    };
    let first_checks = rig
        .first(bell_phase(BellPhase::Checks))
        .expect("a run was made");
    assert!(
        climate(true)[0] <= first_checks - 5 * HOUR,
        "{:?}",
        climate(true)
    );
    let off = climate(false);
    assert_eq!(off.len(), 1, "{off:?}");
    let runs_done = rig
        .fake
        .entries
        .iter()
        .filter(|e| bell_phase(BellPhase::Done)(&e.what))
        .map(|e| e.at);
    assert!(off[0] >= runs_done.max().expect("a run was made"));
    assert!(rig.fake.refused.is_empty(), "{:?}", rig.fake.refused);
}
