//! Limits are those of the plant and its rules, whoever sits on the watch or nobody: of chambers, of the bell, of
//! what is breathed, of pressure and of the steel. Figures beside each test; those of depth and of rates are the
//! house's.

use super::*;
use deepstay_core::record::{
    AlarmState, Aspect, BellPhase, Bound, BreathingPath, LimitBy, LimitName, Limits, LineName,
    Phase, PressureBook, Refused, Severity, Sink, Spoken, Station, ValveName, Whereabouts,
};
use deepstay_plant::{Order, PeopleOrder, SteelOrder, Watched, truly};
use deepstay_scenario::{Fault, FaultKind};

const HOUR_S: i64 = 3600;
/// The door of the six-man spread to the deck, in its list.
const WAY_IN: DoorId = DoorId(3);
/// The door between its living chamber and its transfer lock.
const FROM_TRANSFER: DoorId = DoorId(0);

/// The short job with nobody at either station and its six men in the living chamber, the way in shut. It goes on
/// whoever dies: limits are judged over everybody.
fn nobody_watches(change: impl FnOnce(&mut Scenario)) -> Job {
    let mut s = short();
    s.plan.bell_runs.clear();
    change(&mut s);
    let living = named(&s, "Living");
    let options = Options::default()
        .stations(Sitter::Nobody)
        .harm(Harm::GoesOn);
    let mut job = Job::new(Arc::new(s), options);
    let divers: Vec<DiverId> = job.crew().ids().collect();
    for diver in divers {
        let to = Whereabouts::In(living);
        people(&mut job, PeopleOrder::Go { diver, to });
    }
    steel(
        &mut job,
        SteelOrder::Door {
            door: WAY_IN,
            open: false,
        },
    );
    job
}

fn steel(job: &mut Job, order: SteelOrder) {
    job.order(Station::Student, Order::Steel(order));
}

fn people(job: &mut Job, order: PeopleOrder) {
    job.order(Station::Student, Order::People(order));
}

fn bank(s: &Scenario, name: &str) -> BankId {
    let at = s.steel.banks.iter().position(|b| b.name == name);
    BankId(at.unwrap_or_else(|| panic!("no {name}")) as u8)
}

/// Limits crossed so far: which, by the truth or the instrument, at which second and value.
fn crossed(entries: &[Entry]) -> Vec<(LimitName, Truth, i64, f64)> {
    let out = |e: &Entry| match e.what {
        What::Limit {
            name,
            truth,
            value,
            outside: true,
            ..
        } => Some((name, truth, e.at, value)),
        _ => None,
    };
    entries.iter().filter_map(out).collect()
}

fn is(
    name: &LimitName,
    at: CompartmentId,
    of: (Quantity, Aspect, Bound),
    severity: Severity,
) -> bool {
    (name.compartment, name.severity) == (at, severity)
        && (name.quantity, name.aspect, name.bound) == of
}

fn rings(entries: &[Entry], at: CompartmentId, quantity: Quantity) -> bool {
    entries.iter().any(|e| {
        matches!(e.what, What::Alarm { name, state: AlarmState::Unacknowledged, .. }
            if (name.compartment, name.quantity) == (at, quantity))
    })
}

/// US Navy manual, 15-14: carbon dioxide 0.005 and 0.02 ata. Six men in shut chambers with no fan running pass both
/// within two days, truly and as indicated, and it rings, with nobody there to hear it; the first dies of it before
/// 0.06 ata.
#[test]
fn six_men_without_a_watch_cross_the_limits_of_carbon_dioxide() {
    let mut job = nobody_watches(|_| {});
    let living = named(job.scenario(), "Living");
    let mut entries: Vec<Entry> = Vec::new();
    let _ = job.advance_to(45 * HOUR_S, &mut entries);
    let all = crossed(&entries);
    let co2 = (Quantity::PpCo2, Aspect::Inside, Bound::High);
    let values = [(Severity::Attention, 0.005), (Severity::Limit, 0.02)];
    for (severity, ata) in values {
        for truth in [Truth::True, Truth::Shown] {
            let first = all
                .iter()
                .find(|(n, t, ..)| is(n, living, co2, severity) && *t == truth);
            let (_, _, at, value) = first.unwrap_or_else(|| panic!("{severity:?} {truth:?}"));
            println!("{severity:?} {truth:?}: {value:.5} bar after {at} s");
            assert!((value / (ata * 1.01325) - 1.0).abs() < 0.05, "{value} bar");
        }
    }
    assert!(rings(&entries, living, Quantity::PpCo2));
}

/// Make-up left open beside nobody: the chamber was at the surface and nobody ordered it anywhere. House: 1.5 msw
/// deeper for 5 min, 3 msw/min downwards. Its relief valve lifts at 195 msw and keeps the rating, 200 msw; with its
/// gag valve shut the rating is passed.
#[test]
fn make_up_left_open_rings_depth_and_the_relief_valve_keeps_the_rating() {
    for gagged in [false, true] {
        let mut job = nobody_watches(|_| {});
        let s = job.scenario().clone();
        let (living, m1) = (named(&s, "Living"), bank(&s, "M-1"));
        let door = FROM_TRANSFER;
        steel(&mut job, SteelOrder::Door { door, open: false });
        if gagged {
            let (compartment, shut) = (living, true);
            steel(&mut job, SteelOrder::Gag { compartment, shut });
        }
        let line = LineName::Supply(living);
        steel(&mut job, SteelOrder::LineUp { line, bank: m1 });
        steel(
            &mut job,
            SteelOrder::Valve {
                valve: ValveName::BlowDown(living),
                opening: 0.3,
                purpose: Purpose::BlowDown,
            },
        );
        let mut entries: Vec<Entry> = Vec::new();
        let (mut deepest, mut at) = (0.0f64, 0);
        while deepest < 205.0 && at < 10 * HOUR_S {
            at += 60;
            let _ = job.advance_to(at, &mut entries);
            deepest = deepest.max(job.plant().truth(living, Quantity::Depth, at));
        }
        let all = crossed(&entries);
        let has = |of, severity, truth| {
            all.iter()
                .any(|(n, t, ..)| is(n, living, of, severity) && *t == truth)
        };
        println!("gagged {gagged}: deepest {deepest:.1} msw after {at} s");
        for truth in [Truth::True, Truth::Shown] {
            let deep = (Quantity::Depth, Aspect::Inside, Bound::High);
            assert!(has(deep, Severity::Limit, truth));
            let rate = (Quantity::Depth, Aspect::Rate, Bound::High);
            assert!(has(rate, Severity::Limit, truth));
        }
        assert!(rings(&entries, living, Quantity::Depth));
        let lifted = entries
            .iter()
            .any(|e| matches!(e.what, What::Relief { lifted: true, .. }));
        let over = all
            .iter()
            .any(|(n, t, ..)| n.by == LimitBy::Rating && *t == Truth::True);
        assert_eq!((lifted, over), (!gagged, gagged), "{deepest} msw");
    }
}

/// Both sides of a band: told by a person that the chamber is to stand at a depth, 1.4 msw off it is within, 1.6 msw
/// is not (house: 1.5 msw for 5 min).
#[test]
fn a_person_orders_a_depth_and_the_band_goes_with_it() {
    for (aim_msw, crosses) in [(1.4, false), (1.7, true)] {
        let mut job = nobody_watches(|_| {});
        let living = named(job.scenario(), "Living");
        job.aim(living, Phase::Storage, aim_msw);
        let mut entries: Vec<Entry> = Vec::new();
        let _ = job.advance_to(HOUR_S, &mut entries);
        let shallow = (Quantity::Depth, Aspect::Inside, Bound::Low);
        let found = crossed(&entries)
            .iter()
            .any(|(n, ..)| is(n, living, shallow, Severity::Limit));
        assert_eq!(found, crosses, "at the surface, ordered to {aim_msw} msw");
    }
}

/// Of heliox on masks at the surface, 0.162 bar (0.16 ata) is the least (US Navy manual, 15-22): 14 % is 0.142 bar,
/// 20 % is 0.203 bar. Oxygen of a bank at the surface is 1.01 bar and within 1.25 ata.
#[test]
fn what_is_breathed_from_a_mask_has_limits_of_its_own() {
    for (from, crosses) in [("E-1", true), ("T-1", false), ("O-1", false)] {
        let mut job = nobody_watches(|_| {});
        let s = job.scenario().clone();
        let (living, bank) = (named(&s, "Living"), bank(&s, from));
        let line = LineName::Bibs(living);
        steel(&mut job, SteelOrder::LineUp { line, bank });
        let (diver, path) = (DiverId(2), BreathingPath::Bibs);
        people(&mut job, PeopleOrder::Breathe { diver, path });
        let mut entries: Vec<Entry> = Vec::new();
        let _ = job.advance_to(600, &mut entries);
        let breathed = crossed(&entries);
        let breathed: Vec<_> = breathed
            .iter()
            .filter(|(n, ..)| n.aspect == Aspect::Breathed)
            .collect();
        assert_eq!(!breathed.is_empty(), crosses, "{from}: {breathed:?}");
    }
}

/// A run of the short job with something wrong with its bell.
fn run_with(at: i64, what: impl FnOnce(CompartmentId) -> FaultKind) -> (Ran, CompartmentId) {
    let mut s = short();
    let bell = named(&s, "Bell");
    s.faults = vec![Fault {
        at,
        until: None,
        what: what(bell),
    }];
    (run_to(s, 24 * HOUR_S), bell)
}

/// The bell's fan stands still with its men in it: 0.02 ata (US Navy manual, 15-14) is passed and rings.
#[test]
fn a_bell_without_its_fan_crosses_the_limit_of_carbon_dioxide() {
    let (ran, bell) = run_with(8 * HOUR_S, |compartment| FaultKind::FanStop { compartment });
    let co2 = (Quantity::PpCo2, Aspect::Inside, Bound::High);
    for truth in [Truth::True, Truth::Shown] {
        let found = crossed(&ran.entries)
            .iter()
            .any(|(n, t, ..)| is(n, bell, co2, Severity::Limit) && *t == truth);
        assert!(found, "{truth:?}");
    }
    assert!(rings(&ran.entries, bell, Quantity::PpCo2));
}

/// A hole of 12 mm in the bell, shut: it loses its depth (house: 10 msw at once), truly and as its gauge shows, and its
/// men their pressure. On its way up it falls no faster than the sea around it; on the trunk faster than on any excursion
/// (60 fsw/min, recalled of the US Navy manual): helium at 7 bar through 90 mm2 empties 5 m3 by about 40 msw in the
/// first minute; a rate is taken over every second minute, so that is when it comes. What is told of how far it came is where it truly is when the job ends over it.
#[test]
fn a_bell_with_a_hole_loses_its_depth_and_rings() {
    for (phase, faster) in [(BellPhase::Recovery, false), (BellPhase::Mating, true)] {
        let whole = run_to(short(), 24 * HOUR_S);
        let begun = whole.when(|w| matches!(w, What::BellPhase { phase: p, .. } if *p == phase));
        let at = begun[0] + 60;
        let whole_window = at - at.rem_euclid(120) + 120;
        bell_with_a_hole(if faster { whole_window } else { at }, faster);
    }
}

fn bell_with_a_hole(at: i64, faster: bool) {
    let mut s = short();
    let bell = named(&s, "Bell");
    let area_m2 = 0.8 * std::f64::consts::PI * 0.006 * 0.006;
    s.faults = vec![Fault {
        at,
        until: None,
        what: FaultKind::Leak {
            compartment: bell,
            area_m2,
            hull_stop: false,
        },
    }];
    let mut job = Job::new(Arc::new(s), Options::default());
    let mut entries: Vec<Entry> = Vec::new();
    let ended = job.advance_to(24 * HOUR_S, &mut entries);
    let died = matches!(ended, Halt::Ended(Ended::Died(..)));
    assert!(died, "{ended:?} at {}", job.now());
    let end_s = job.now();
    let left_msw = job.plant().truth(bell, Quantity::Depth, end_s);
    let _ = job.finish(&mut entries);
    let (mut limits, mut pressure) = (Limits::default(), PressureBook::default());
    for entry in &entries {
        limits.take(*entry);
        pressure.take(*entry);
    }
    let depth = (Quantity::Depth, Aspect::Inside, Bound::Low);
    let rate = (Quantity::Depth, Aspect::Rate, Bound::Low);
    for truth in [Truth::True, Truth::Shown] {
        let found = |of, severity| {
            crossed(&entries)
                .iter()
                .any(|(n, t, ..)| is(n, bell, of, severity) && *t == truth)
        };
        assert!(found(depth, Severity::Emergency), "{truth:?}");
        assert_eq!(found(rate, Severity::Limit), faster, "{truth:?}");
    }
    assert!(rings(&entries, bell, Quantity::Depth));
    let told = limits
        .totals(end_s)
        .into_iter()
        .find(|l| is(&l.key.name, bell, depth, Severity::Emergency) && l.key.truth == Truth::True)
        .expect("told");
    println!("left {left_msw:.2} msw, told {:.2} msw", told.furthest);
    assert!(left_msw < 20.0 && (told.furthest - left_msw).abs() < 1e-9);
    let lost = pressure
        .lost()
        .find(|l| l.compartment == bell)
        .expect("lost");
    assert_eq!(lost.divers.len(), 2);
    assert!((lost.to_msw - left_msw).abs() < 1e-9);
}

/// The bell's exhaust hangs open while its bottom door is open, its supply is shut off, and nobody acts any more: for
/// what gas it loses water comes in, and its gauges go on showing the sea's depth. It is seen over the sill and said, the
/// gas that is short of the sea's pressure is a limit crossed (house: 3 msw for 10 min, 10 msw at once), and water stands
/// for it by Boyle's law, 1 - n R T / (V p). Who has it over his head takes a mask. With a door under water nobody shuts
/// it, and a bank that has less pressure than the sea keeps none out; one that has more does.
#[test]
fn an_open_bell_that_loses_its_gas_takes_in_water() {
    let opened = run_to(short(), 24 * HOUR_S).when(|w| {
        matches!(
            w,
            What::BellPhase {
                phase: BellPhase::DoorOpen,
                ..
            }
        )
    })[0];
    let mut s = short();
    let weak = bank(&s, "T-2");
    s.steel.banks[weak.index()].fill_gauge_pa = 4.0 * BAR_PA;
    let mut job = Job::new(Arc::new(s), Options::default());
    let bell = named(job.scenario(), "Bell");
    let mut before: Vec<Entry> = Vec::new();
    let _ = job.advance_to(opened + HOUR_S, &mut before);
    let options = Options::default()
        .stations(Sitter::Nobody)
        .harm(Harm::GoesOn);
    let hangs = FaultKind::StuckValve {
        valve: ValveName::Exhaust(bell),
        opening: 0.3,
    };
    let mut left = job.fork(options, Some(hangs));
    let line = LineName::Supply(bell);
    steel(&mut left, SteelOrder::LineUp { line, bank: weak });
    let (mut entries, mut shares): (Vec<Entry>, Vec<f64>) = (Vec::new(), Vec::new());
    for minute in 1..=30 {
        let at = opened + HOUR_S + 60 * minute;
        let _ = left.advance_to(at, &mut entries);
        let plant = left.plant();
        let share = truly(plant, Watched::Flooded(bell), at);
        let sea_pa = plant.water_at(bell, at).p_pa;
        let air = plant.air(bell, at);
        let volume_m3 = plant.steel().compartments[bell.index()].volume_m3;
        let by_hand = 1.0 - air.n_mol.total() * 8.314 * air.t_k / (volume_m3 * sea_pa);
        assert!((share - by_hand).abs() < 0.01, "{share} {by_hand}");
        assert!((air.p_pa / sea_pa - 1.0).abs() < 1e-9);
        shares.push(share);
    }
    println!("{shares:.5?}");
    // What is left swells by some ten thousandths as it warms and the tide falls.
    assert!(shares[0] > 0.02 && shares.windows(2).all(|w| w[1] >= w[0] - 5e-4));
    assert!(shares[29] > 0.8);
    let short_of_sea = (Quantity::Depth, Aspect::Water, Bound::High);
    for severity in [Severity::Limit, Severity::Emergency] {
        let all = crossed(&entries);
        let mut mine = all
            .iter()
            .filter(|(n, ..)| is(n, bell, short_of_sea, severity));
        assert!(mine.all(|(_, truth, ..)| *truth == Truth::True));
        let mut mine = all
            .iter()
            .filter(|(n, ..)| is(n, bell, short_of_sea, severity));
        assert!(mine.next().is_some(), "{severity:?}");
    }
    let of_water = |n: &LimitName| n.aspect == Aspect::Water;
    assert!(!crossed(&before).iter().any(|(n, ..)| of_water(n)));
    // No gauge shows it, and so none rings: it is said.
    assert!(!rings(&entries, bell, Quantity::Depth));
    let said = |e: &Entry| {
        matches!(
            e.what,
            What::Said {
                report: Spoken::Water,
                ..
            }
        )
    };
    let times: Vec<i64> = entries.iter().filter(|e| said(e)).map(|e| e.at).collect();
    assert_eq!(times.len(), 1, "{times:?}");
    assert!(times[0] <= opened + HOUR_S + 60, "{times:?}");
    let masks = |e: &Entry| {
        matches!(
            e.what,
            What::Breathing {
                path: BreathingPath::Bibs,
                ..
            }
        )
    };
    assert!(entries.iter().any(masks));
    let bottom = left.plant().steel().doors.iter();
    let bottom = bottom.clone().position(|d| d.a == bell && d.b.is_none());
    let door = DoorId(bottom.expect("a bottom door") as u8);
    let now = left.now();
    steel(&mut left, SteelOrder::Door { door, open: false });
    let full = bank(left.scenario(), "M-2");
    let mut after: Vec<Entry> = Vec::new();
    let _ = left.advance_to(now + 10, &mut after);
    let refused = |e: &Entry| {
        matches!(
            e.what,
            What::Refused {
                why: Refused::UnderWater,
                ..
            }
        )
    };
    assert!(after.iter().any(refused), "{after:?}");
    steel(&mut left, SteelOrder::LineUp { line, bank: full });
    let _ = left.advance_to(now + 60, &mut after);
    assert!(truly(left.plant(), Watched::Flooded(bell), now + 60) < 1e-6);
}
