//! Alarms and limits against the values in the same log: what stands beyond a printed figure is told, however
//! little it is beyond it; what is well within is not. And the launch limit, on it and one resolution beyond.

use super::*;
use deepstay_core::record::{AlarmState, BellPhase, Bound, LimitName, Stopped, ValveName};
use deepstay_scenario::{Fault, FaultKind, Weather};
use std::collections::{BTreeMap, BTreeSet};

/// A limit of the house set at 60 msw in storage as printed: (quantity, bound, figure in its plain unit). US Navy
/// manual, Revision 4, 15-14 and 15-22; climate of the French order of 30 October 2012, art. 33: straight between
/// 22 to 27 degC at 50 and 25 to 29 degC at 100 msw, within 2 degC; humidity 30 to 80 %.
const PRINTED: [(Quantity, Bound, f64); 7] = [
    (Quantity::PpO2, Bound::High, 0.48 * 1.01325),
    (Quantity::PpO2, Bound::Low, 0.42 * 1.01325),
    (Quantity::PpCo2, Bound::High, 0.005 * 1.01325),
    (Quantity::Temperature, Bound::High, 273.15 + 27.4 + 2.0),
    (Quantity::Temperature, Bound::Low, 273.15 + 22.6 - 2.0),
    (Quantity::Humidity, Bound::High, 0.8),
    (Quantity::Humidity, Bound::Low, 0.3),
];
/// Beyond by less than this a value is on the limit: half the step of a log's reading, by quantity.
fn on_it(quantity: Quantity) -> f64 {
    match quantity {
        Quantity::PpO2 => 0.0005,
        Quantity::PpCo2 => 5e-6,
        Quantity::Temperature => 0.05,
        _ => 0.002,
    }
}

/// Within by more than this an alarm has gone again: the accuracy of the instrument, of analysers that of class
/// rules (Lloyd's Register, Part 6 Chapter 2, 3.3.7 and 3.3.8: 0.015 bar of oxygen, 0.001 bar of carbon dioxide);
/// thermometers and hygrometers of the built-in spreads are good to 0.2 K and 2 %.
fn gone(quantity: Quantity) -> f64 {
    let accuracy = match quantity {
        Quantity::PpO2 => 0.015,
        Quantity::PpCo2 => 0.001,
        Quantity::Temperature => 0.2,
        _ => 0.02,
    };
    accuracy + on_it(quantity)
}

/// The short job on its first day: the oxygen valve of the living chamber hangs a hair open, then fans
/// and climate units stop; a log row every minute.
pub fn uneasy_night() -> Scenario {
    let mut s = short();
    let living = named(&s, "Living");
    s.log_every_s = 60;
    s.plan.bell_runs.clear();
    let fault = |from_h: i64, to_h: i64, what| Fault {
        at: from_h * 3600,
        until: Some(to_h * 3600),
        what,
    };
    s.faults = vec![fault(
        12,
        14,
        FaultKind::StuckValve {
            valve: ValveName::Oxygen(living),
            opening: 0.02,
        },
    )];
    for name in ["Living", "Transfer", "Rescue"] {
        let compartment = named(&s, name);
        s.faults
            .push(fault(16, 24, FaultKind::ClimateStop { compartment }));
        s.faults
            .push(fault(16, 19, FaultKind::FanStop { compartment }));
    }
    s
}

#[test]
fn what_is_shown_beyond_a_limit_rings_however_little_it_is_beyond() {
    let ran = run_to(uneasy_night(), 30 * 3600);
    let living = named(&ran.scenario, "Living");
    let mut ringing = BTreeMap::new();
    let (mut beyond, mut barely, mut within) = (BTreeMap::new(), BTreeMap::new(), 0);
    let storage_s = 3 * 3600;
    for e in &ran.entries {
        match e.what {
            What::Alarm { name, state, .. } if name.compartment == living => {
                let standing: &mut BTreeSet<LimitName> =
                    ringing.entry((name.quantity, name.bound)).or_default();
                match state {
                    AlarmState::Unacknowledged | AlarmState::Acknowledged => standing.insert(name),
                    AlarmState::ReturnedUnacknowledged
                    | AlarmState::Latched
                    | AlarmState::Normal => standing.remove(&name),
                };
            }
            What::Logged {
                compartment,
                quantity,
                channel: Channel::Primary,
                truth: Truth::Shown,
                value,
            } if compartment == living && e.at > storage_s => {
                for (_, bound, figure) in PRINTED.iter().filter(|p| p.0 == quantity) {
                    let over = if *bound == Bound::High {
                        value - figure
                    } else {
                        figure - value
                    };
                    let rings = ringing
                        .get(&(quantity, *bound))
                        .is_some_and(|n| !n.is_empty());
                    if over > on_it(quantity) {
                        assert!(
                            rings,
                            "{} s: {quantity:?} {bound:?} {value} beyond {figure}",
                            e.at
                        );
                        *beyond.entry(quantity).or_insert(0) += 1;
                        if over < 0.02 * figure {
                            *barely.entry(quantity).or_insert(0) += 1;
                        }
                    } else if -over > gone(quantity) {
                        assert!(
                            !rings,
                            "{} s: {quantity:?} {bound:?} {value} within {figure}",
                            e.at
                        );
                        within += 1;
                    }
                }
            }
            _ => {}
        }
    }
    println!("rows beyond {beyond:?}, of them by less than a fiftieth {barely:?}; within {within}");
    assert!(
        barely.get(&Quantity::PpO2).is_some_and(|n| *n >= 3),
        "it crept past: {barely:?}"
    );
    assert!(beyond.contains_key(&Quantity::PpCo2), "{beyond:?}");
    assert!(within > 1000);
}

/// Waves of just the launch limit, 3 m, let the bell go; a tenth of a metre more (the step of a wave height in the
/// site's hindcast) does not.
#[test]
fn the_bell_goes_at_the_launch_limit_and_not_a_decimetre_over_it() {
    for (hs_m, goes) in [(3.0, true), (3.1, false)] {
        let mut s = short();
        assert_eq!(s.site.launch_limit_hs_m, 3.0);
        s.site.weather = Weather::Series(vec![(0, hs_m)]);
        let ran = run_to(s, 15 * 3600);
        let lowered = ran.when(|w| {
            matches!(
                w,
                What::BellPhase {
                    phase: BellPhase::Lowering,
                    ..
                }
            )
        });
        let lost = ran.when(|w| {
            matches!(
                w,
                What::BellStopped {
                    why: Stopped::Weather,
                    ..
                }
            )
        });
        assert_eq!(
            (lowered.len(), lost.len()),
            if goes { (1, 0) } else { (0, 1) },
            "at {hs_m} m"
        );
        let told = ran.entries.iter().find_map(|e| match e.what {
            What::Weather { stopped, .. } => Some(stopped),
            _ => None,
        });
        assert_eq!(told, Some(!goes), "at {hs_m} m");
    }
}
