//! Dive control before the fake plant: a seal that leaks told from one that cools, a bell kept warm from its
//! first pressing to its last run, and orders that nothing refuses.

use super::fake::Rig;
use super::tests::{BELL, HOUR, at_storage, bell_phase, scenario};
use deepstay_core::record::{BellPhase, Machine, Stopped, What};
use deepstay_plant::{Climate, Order, SteelOrder};
use deepstay_scenario::{LevelDo, LevelStep};

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

/// Each turn lost says why: the chambers not yet at depth, leaving it, on their way up, or the run before late.
#[test]
fn a_turn_lost_says_why() {
    let lost = |change: &dyn Fn(&mut deepstay_scenario::Scenario)| -> Vec<Stopped> {
        let mut s = scenario();
        change(&mut s);
        let mut rig = Rig::new(s);
        rig.run_to(90 * HOUR);
        let why = rig.fake.entries.iter().filter_map(|e| match e.what {
            What::BellStopped { why, .. } => Some(why),
            _ => None,
        });
        why.collect()
    };
    let steps = |s: &mut deepstay_scenario::Scenario, press_at: i64, up_at: i64| {
        let step = |at, what| LevelStep { at, what };
        s.plan.levels[0].steps = vec![
            step(press_at, LevelDo::Press(60.0)),
            step(up_at, LevelDo::Decompress),
        ];
    };
    let early = lost(&|s| steps(s, 34 * HOUR, 80 * HOUR));
    assert_eq!(
        early,
        [Stopped::NotAtDepth],
        "due at 32 h, pressed from 34 h"
    );
    let leaving = lost(&|s| steps(s, 0, 60 * HOUR));
    assert_eq!(
        leaving,
        [Stopped::Leaves],
        "due at 56 h, eight hours long, up at 60 h"
    );
    let left = lost(&|s| {
        steps(s, 0, 50 * HOUR);
    });
    assert_eq!(left, [Stopped::Leaves], "due at 56 h, up since 50 h");
    let late = lost(&|s| {
        s.plan.bell_runs[1].at = s.plan.bell_runs[0].at + HOUR;
        steps(s, 0, s.plan.bell_runs[1].at + 10 * HOUR);
    });
    assert_eq!(
        late,
        [Stopped::Late],
        "the first is out while the second is due, and then none fits"
    );
}
