//! Oxygen is never fed into doubt: valves that hang, gas that is none, needles that stand still. Figures beside
//! each test; those of the watch itself are the house's.

use super::fake::{Fake, Rig};
use super::tests::{BELL, HOUR, at_storage, gauge, scenario};
use deepstay_core::record::{BreathingPath, Finding, LineName, What};
use deepstay_core::units::*;
use deepstay_plant::*;
use deepstay_scenario::Scenario;

const LIVING: CompartmentId = CompartmentId(0);
/// Highest of the emergency range, bar: 1.25 ata (US Navy Diving Manual, saturation chapter).
const EMERGENCY_BAR: f64 = 1.25 * 1.01325;

fn found(rig: &Rig, finding: Finding) -> Option<i64> {
    rig.first(|w| matches!(w, What::Found { finding: f, .. } if *f == finding))
}

fn with_second_analyser(mut s: Scenario) -> Scenario {
    let at = SamplePoint::Compartment(LIVING);
    let mut second = gauge(Quantity::PpO2, at, 0.001);
    second.channel = Channel::Secondary;
    s.steel.instruments.push(second);
    s
}

fn highest(rig: &mut Rig, for_s: i64) -> f64 {
    let mut most: f64 = 0.0;
    let end = rig.fake.now + for_s;
    while rig.fake.now < end {
        rig.run_to(rig.fake.now + 10);
        most = most.max(rig.fake.ppo2(0));
    }
    most
}

fn lined(fake: &Fake) -> Option<BankId> {
    fake.lines.get(&LineName::Oxygen(LIVING)).copied()
}

/// A valve that hangs open is shut off at the bank before the gas is past a twentieth of a bar over its band, and
/// no other bank is lined up to it at once; what six men need comes by the line from then on.
#[test]
fn a_stuck_oxygen_valve_is_shut_off_upstream_and_never_fed() {
    for opening in [0.05, 0.3, 1.0] {
        let mut s = scenario();
        s.plan.bell_runs.clear();
        s.steel
            .banks
            .push(super::tests::bank("O-2", Duty::Oxygen, 1.0, 3.2));
        let mut rig = Rig::new(s);
        rig.run_to(8 * HOUR);
        rig.fake.stuck_oxygen[0] = Some(opening);
        let began = rig.fake.now;
        let most = highest(&mut rig, 12 * HOUR);
        let told = found(&rig, Finding::OxygenClimbs).expect("it is written down");
        println!(
            "{opening}: {most:.3} bar at most, shut off after {} s",
            told - began
        );
        assert!(most < 0.48 * 1.01325 + 0.05, "{opening}: {most} bar");
        assert!(rig.fake.ppo2(0) > 0.42, "{opening}: {}", rig.fake.ppo2(0));
        let banks: Vec<BankId> = rig
            .fake
            .orders
            .iter()
            .filter_map(|(at, o)| match o {
                Order::Steel(SteelOrder::LineUp {
                    line: LineName::Oxygen(LIVING),
                    bank,
                }) if *at >= began => Some(*bank),
                _ => None,
            })
            .collect();
        assert!(
            banks.windows(2).all(|w| w[0] == w[1]),
            "{opening}: {banks:?}"
        );
    }
}

/// A valve that hung and is free again: by the line, through a valve that now shuts, nothing comes. Why doses grow longer,
/// and why they go by the valve again, is written down once each, in that order, and the gas stays fit to breathe.
#[test]
fn a_valve_that_is_free_again_is_found_by_doses_that_do_not_show() {
    let mut s = scenario();
    s.plan.bell_runs.clear();
    let mut rig = Rig::new(s);
    rig.run_to(8 * HOUR);
    rig.fake.stuck_oxygen[0] = Some(0.3);
    rig.run_to(10 * HOUR);
    assert!(found(&rig, Finding::OxygenClimbs).is_some());
    assert_eq!(found(&rig, Finding::OxygenValveShuts), None);
    rig.fake.stuck_oxygen[0] = None;
    let began = rig.fake.now;
    let mut least: f64 = 1.0;
    while rig.fake.now < began + 24 * HOUR {
        rig.run_to(rig.fake.now + 60);
        least = least.min(rig.fake.ppo2(0));
    }
    let line = found(&rig, Finding::OxygenLineAnswersNot).expect("the longer dose has its reason");
    let valve = found(&rig, Finding::OxygenValveShuts).expect("so has the way back");
    println!(
        "longer doses {} min after it was free, by the valve {} min after; {least:.3} bar at least",
        (line - began) / 60,
        (valve - began) / 60
    );
    assert!(began < line && line < valve);
    for finding in [Finding::OxygenLineAnswersNot, Finding::OxygenValveShuts] {
        let told = |w: &What| matches!(w, What::Found { finding: f, .. } if *f == finding);
        assert_eq!(rig.count(told), 1, "{finding:?}");
    }
    assert!(least > 0.3, "{least}");
}

/// Air in a bank whose last analysis says oxygen. In the real case it took about 15 min to be noticed (IMCA safety
/// event on a gas quad procedure). Two doses, each waited for, and it is shut off, analysed, and another bank taken.
#[test]
fn air_in_the_oxygen_bank_is_found_by_what_does_not_answer() {
    let mut s = scenario();
    s.plan.bell_runs.clear();
    s.steel
        .banks
        .push(super::tests::bank("O-2", Duty::Oxygen, 1.0, 3.2));
    let mut rig = Rig::new(s);
    rig.run_to(8 * HOUR);
    let bad = lined(&rig.fake).expect("a bank is lined up");
    rig.fake.true_o2[bad.index()] = 0.21;
    let before_mol = rig.fake.oxygen_fed_mol;
    let began = rig.fake.now;
    while found(&rig, Finding::OxygenUnanswered).is_none() && rig.fake.now < began + 12 * HOUR {
        rig.run_to(rig.fake.now + 10);
    }
    let first_dose = rig
        .fake
        .orders
        .iter()
        .find(|(at, o)| *at > began && matches!(o, Order::Steel(SteelOrder::Valve { valve: deepstay_core::record::ValveName::Oxygen(LIVING), opening, .. }) if *opening > 0.0))
        .map(|(at, _)| *at)
        .expect("it was dosed");
    let took_s = rig.fake.now - first_dose;
    println!(
        "found {took_s} s after the first dose, {:.0} mol in",
        rig.fake.oxygen_fed_mol - before_mol
    );
    assert!(took_s < 30 * 60, "{took_s} s");
    rig.run_to(rig.fake.now + HOUR);
    assert!(
        lined(&rig.fake).is_some_and(|b| b != bad),
        "{:?}",
        lined(&rig.fake)
    );
    assert!(rig.fake.analysed[bad.index()].is_some_and(|a| a < 0.22));
    let shown = rig.fake.ppo2(0);
    assert!((0.44..0.48 * 1.01325).contains(&shown), "{shown}");
}

/// An analyser that stands still, low: the one beside it, or that of the chamber open to it, rises with the doses, the two are told apart, and the gas
/// stays within what may be breathed.
#[test]
fn a_needle_that_stands_still_is_not_fed() {
    for beside in [true, false] {
        let mut s = scenario();
        s.plan.bell_runs.clear();
        let mut rig = Rig::new(if beside { with_second_analyser(s) } else { s });
        rig.run_to(8 * HOUR);
        rig.fake.ppo2_still[0] = Some(0.44);
        let most = highest(&mut rig, 24 * HOUR);
        println!("second analyser {beside}: {most:.3} bar at most");
        assert!(most < 0.48 * 1.01325 + 0.15, "{most} bar");
        assert!(found(&rig, Finding::AnalysersDiffer).is_some());
    }
}

/// Gas past the emergency range is breathed by nobody: masks with a mix fit for the depth, and off again when the
/// men have breathed it down.
#[test]
fn beyond_the_emergency_range_everybody_is_on_masks() {
    let mut rig = at_storage();
    rig.fake.o2[0] = 1.4 / (rig.fake.p_pa[0] / BAR_PA);
    rig.fake.o2[1] = rig.fake.o2[0];
    rig.run_to(rig.fake.now + 60);
    assert!(rig.fake.ppo2(0) > EMERGENCY_BAR);
    assert!(rig.fake.paths.iter().all(|p| *p == BreathingPath::Bibs));
    let bank = rig.fake.lines[&LineName::Bibs(LIVING)];
    let breathed = rig.fake.true_o2[bank.index()] * rig.fake.p_pa[0] / BAR_PA;
    assert!((0.16..EMERGENCY_BAR).contains(&breathed), "{breathed}");
    let fed_mol = rig.fake.oxygen_fed_mol;
    rig.run_to(rig.fake.now + 600);
    assert_eq!(rig.fake.oxygen_fed_mol, fed_mol);
    for c in [0, 1] {
        rig.fake.o2[c] = 0.46 / (rig.fake.p_pa[c] / BAR_PA);
    }
    rig.run_to(rig.fake.now + 600);
    assert!(rig.fake.paths.iter().all(|p| *p == BreathingPath::Ambient));
    assert_eq!(
        rig.fake
            .places
            .iter()
            .filter(|p| **p == deepstay_core::record::Whereabouts::In(BELL))
            .count(),
        0
    );
}

/// Two chambers that people live in, on one level, the door between them shut for a while and open for a while:
/// each keeps its own oxygen.
#[test]
fn every_living_chamber_of_a_level_is_tended() {
    let mut s = scenario();
    s.plan.bell_runs.clear();
    s.plan.toilet_per_day = 0.0;
    s.steel.compartments[1].kind = CompartmentKind::Living;
    for d in &mut s.crew[3..] {
        d.chamber = CompartmentId(1);
    }
    let mut rig = Rig::new(s);
    rig.run_to(8 * HOUR);
    for shut in [true, false] {
        rig.fake.doors[0] = !shut;
        for _ in 0..36 * 6 {
            rig.run_to(rig.fake.now + 600);
            if shut {
                rig.fake.doors[0] = false;
            }
            for c in [0, 1] {
                let ppo2 = rig.fake.ppo2(c);
                assert!(
                    (0.43..0.49).contains(&ppo2),
                    "{c} {ppo2} at {}",
                    rig.fake.now
                );
            }
        }
    }
}
