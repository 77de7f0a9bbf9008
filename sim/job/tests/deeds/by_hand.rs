//! What only a person turns, each against a sum of its own: the stop of a bank, regulators with the gauges behind them,
//! the oxygen's needle valve by its meter, sample points, zero and span by a bottle, the inboard hull stop, a run through
//! a lock, the camera. And what of it the automatic watch sets back when it sits down again.

use super::*;
use deepstay_core::fault::FaultKind;
use deepstay_core::gas::Amounts;
use deepstay_core::record::{
    Adjusted, BreathingPath, DoorState, LineName, NoRecord, Refused, Routine, Spoken, Station,
    ValveName, Whereabouts,
};
use deepstay_job::{Act, BLIND_SHARE};
use deepstay_plant::{Order, PeopleOrder, SteelOrder};
use statrs::distribution::{Binomial, DiscreteCDF};

const HOUR_S: i64 = 3600;
/// In storage, before the first bell run of the short job is due.
const STORAGE_S: i64 = 6 * HOUR_S;

/// The short job with a person at saturation control, in storage.
fn sat_in_storage(scenario: Scenario) -> (Job, Vec<Entry>) {
    let mut entries = Vec::new();
    let mut job = Job::new(Arc::new(scenario), Options::default());
    assert_eq!(job.advance_to(STORAGE_S, &mut entries), Halt::Reached);
    let act = Act::Sit {
        station: Station::Saturation,
        sitter: Sitter::Person,
    };
    assert_eq!(
        job.act_at_once(Station::Saturation, act, &mut entries),
        Ok(())
    );
    (job, entries)
}

/// The same with bank M-1 lined up to the supply of the living chamber.
fn fed_by_m1() -> (Job, Vec<Entry>, CompartmentId, BankId) {
    let scenario = short();
    let (living, m1) = (named(&scenario, "Living"), bank(&scenario, "M-1"));
    let (mut job, mut entries) = sat_in_storage(scenario);
    let line = LineName::Supply(living);
    let up = SteelOrder::LineUp { line, bank: m1 };
    assert_eq!(steel(&mut job, up, &mut entries), Ok(()));
    (job, entries, living, m1)
}

fn steel(job: &mut Job, order: SteelOrder, entries: &mut Vec<Entry>) -> Result<(), Refused> {
    let act = Act::Order(Order::Steel(order));
    job.act_at_once(Station::Saturation, act, entries)
}

fn people(job: &mut Job, order: PeopleOrder, entries: &mut Vec<Entry>) -> Result<(), Refused> {
    let act = Act::Order(Order::People(order));
    job.act_at_once(Station::Saturation, act, entries)
}

fn bank(scenario: &Scenario, name: &str) -> BankId {
    let at = scenario.steel.banks.iter().position(|b| b.name == name);
    BankId(at.unwrap_or_else(|| panic!("no bank {name}")) as u8)
}

fn analyser(scenario: &Scenario, at: &str, of: Quantity, channel: Channel) -> InstrumentId {
    let id = scenario.steel.instrument(named(scenario, at), of, channel);
    id.unwrap_or_else(|| panic!("no analyser at {at}"))
}

fn open(job: &mut Job, valve: ValveName, opening: f64, entries: &mut Vec<Entry>) {
    let order = SteelOrder::Valve {
        valve,
        opening,
        purpose: Purpose::MakeUp,
    };
    assert_eq!(steel(job, order, entries), Ok(()));
}

/// A bank whose stop is shut gives nothing, whatever is lined up and open, and the panel still says that it is lined up;
/// opened again it gives what it gave.
#[test]
fn a_bank_with_its_stop_shut_gives_nothing() {
    let (mut job, mut entries, living, m1) = fed_by_m1();
    let line = LineName::Supply(living);
    let shut = |shut| SteelOrder::BankStop { bank: m1, shut };
    assert_eq!(steel(&mut job, shut(true), &mut entries), Ok(()));
    open(&mut job, ValveName::BlowDown(living), 0.05, &mut entries);
    let (before, depth) = (job.plant().bank_moles(m1, job.now()), depth(&job, living));
    let _ = job.advance_to(STORAGE_S + 30, &mut entries);
    assert_eq!(job.plant().bank_moles(m1, job.now()), before);
    assert!(self::depth(&job, living) <= depth);
    let seen = job.indicated();
    assert_eq!(seen.lined_up(line), Some(m1));
    assert!(seen.banks[m1.index()].stopped);
    assert_eq!(gauge_bar(&job, line), None);
    assert_eq!(steel(&mut job, shut(false), &mut entries), Ok(()));
    let _ = job.advance_to(STORAGE_S + 60, &mut entries);
    assert!(job.plant().bank_moles(m1, job.now()) < before);
    assert!(self::depth(&job, living) > depth);
}

fn depth(job: &Job, at: CompartmentId) -> f64 {
    job.plant().truth(at, Quantity::Depth, job.now())
}

fn gauge_bar(job: &Job, line: LineName) -> Option<f64> {
    let vessel = &job.indicated().vessels[line.compartment().index()];
    let plate = vessel.regulators.iter().find(|r| r.line == line);
    plate.expect("the line has a regulator").gauge_bar
}

/// The gauge behind a regulator shows the chamber's pressure and what it is set over it: at 60 msw, 6.0 bar and 12 bar
/// over make 18, to half a bar. Set to nothing over, nothing flows.
#[test]
fn a_regulator_holds_what_it_is_set_to() {
    let (mut job, mut entries, living, m1) = fed_by_m1();
    let line = LineName::Supply(living);
    let set = |bar: f64| SteelOrder::Regulator {
        line,
        over_pa: bar * 1e5,
    };
    assert_eq!(steel(&mut job, set(12.0), &mut entries), Ok(()));
    let expected = 1000.0 * 9.806_65 * 1.0 * 60.0 / 1e5 * 1.02 + 12.0;
    let shown = gauge_bar(&job, line).expect("it is fed");
    assert!((shown - expected).abs() <= 0.5, "{shown} for {expected}");
    // Of one gas through one valve, choked, the flow goes with the pressure before it: 18.0 + 1.0 to 13.0 + 1.0.
    let mut through = |bar: f64| {
        assert_eq!(steel(&mut job, set(bar), &mut entries), Ok(()));
        open(&mut job, ValveName::BlowDown(living), 0.02, &mut entries);
        let (at, before) = (job.now(), job.plant().bank_moles(m1, job.now()));
        let _ = job.advance_to(at + 20, &mut entries);
        let given = before - job.plant().bank_moles(m1, job.now());
        open(&mut job, ValveName::BlowDown(living), 0.0, &mut entries);
        given
    };
    let (strong, weak, none) = (through(12.0), through(7.0), through(0.0));
    let ratio = weak / strong;
    assert!((ratio - 14.0 / 19.0).abs() < 0.01, "{ratio}");
    assert_eq!(none, 0.0);
    assert_eq!(
        steel(&mut job, set(80.0), &mut entries),
        Err(Refused::OutOfRange)
    );
}

/// A mask behind a regulator that is set too low gives its wearer nothing: he says so, and takes it off.
#[test]
fn a_mask_behind_a_regulator_set_too_low_gives_nothing() {
    let scenario = short();
    let living = named(&scenario, "Living");
    let line = LineName::Bibs(living);
    let diver = DiverId(0);
    let (mut job, mut entries) = sat_in_storage(scenario);
    let on = PeopleOrder::Breathe {
        diver,
        path: BreathingPath::Bibs,
    };
    assert_eq!(people(&mut job, on, &mut entries), Ok(()));
    let _ = job.advance_to(STORAGE_S + 120, &mut entries);
    assert_eq!(job.crew().path(diver), BreathingPath::Bibs);
    let low = SteelOrder::Regulator { line, over_pa: 2e5 };
    assert_eq!(steel(&mut job, low, &mut entries), Ok(()));
    let _ = job.advance_to(STORAGE_S + 300, &mut entries);
    let said = entries.iter().any(|e| {
        let report = Spoken::NoGas;
        e.what == What::Said { diver, report }
    });
    assert!(said);
    assert_eq!(job.crew().path(diver), BreathingPath::Ambient);
}

/// By hand: 3 L/min of free gas, at 15 degC and 1 bar 41.74 mol in a cubic metre, bring 0.003 x 41.74 x 10 = 1.252 mol
/// in ten minutes. More than the valve gives when it is fully open cannot be set.
#[test]
fn a_trickle_brings_what_its_meter_shows() {
    let scenario = short();
    let living = named(&scenario, "Living");
    let (mut job, mut entries) = sat_in_storage(scenario);
    let line = LineName::Oxygen(living);
    let oxygen = job.indicated().lined_up(line).expect("it is lined up");
    let trickle = |l_min: f64| SteelOrder::Trickle {
        compartment: living,
        mol_s: l_min / 60_000.0 * 41.74,
    };
    let order = SteelOrder::Switch {
        compartment: living,
        machine: deepstay_core::record::Machine::OxygenControl,
        on: false,
    };
    let _ = steel(&mut job, order, &mut entries);
    assert_eq!(steel(&mut job, trickle(3.0), &mut entries), Ok(()));
    let before = job.plant().bank_moles(oxygen, job.now());
    let _ = job.advance_to(STORAGE_S + 600, &mut entries);
    let given = before - job.plant().bank_moles(oxygen, job.now());
    assert!((given / 1.252 - 1.0).abs() < 0.02, "{given} mol");
    let much = steel(&mut job, trickle(1e5), &mut entries);
    assert_eq!(much, Err(Refused::OutOfRange));
    let off = SteelOrder::LineOff { line };
    assert_eq!(steel(&mut job, off, &mut entries), Ok(()));
    let none = steel(&mut job, trickle(3.0), &mut entries);
    assert_eq!(none, Err(Refused::NoSupply));
}

/// An analyser that is turned to another vessel shows that one's gas, and nothing of its own: not on the panel, not in
/// the log. Turned back it shows its own again.
#[test]
fn an_analyser_shows_the_vessel_it_is_turned_to() {
    let scenario = short();
    let (living, trunk) = (named(&scenario, "Living"), named(&scenario, "Trunk"));
    let bell = named(&scenario, "Bell");
    let second = analyser(&scenario, "Living", Quantity::PpO2, Channel::Secondary);
    let gauge = analyser(&scenario, "Living", Quantity::Depth, Channel::Primary);
    let (mut job, mut entries) = sat_in_storage(scenario);
    let from = |from| SteelOrder::SampleFrom {
        instrument: second,
        from,
    };
    assert_eq!(steel(&mut job, from(bell), &mut entries), Ok(()));
    let _ = job.advance_to(STORAGE_S + 1200, &mut entries);
    let (shows, truly) = (
        job.plant().read(second, job.now()),
        job.plant().truth(bell, Quantity::PpO2, job.now()),
    );
    let own = job.plant().truth(living, Quantity::PpO2, job.now());
    assert!((own - truly).abs() > 0.1, "{own} {truly}");
    assert!((shows - truly).abs() < 0.03, "{shows} of {truly}");
    let seen = job.indicated();
    assert_eq!(
        seen.reading(living, Quantity::PpO2, Channel::Secondary),
        None
    );
    let logged = |from_s: i64, e: &&Entry| {
        let own = matches!(
            e.what,
            What::Logged { compartment, quantity: Quantity::PpO2, channel: Channel::Secondary, truth: Truth::Shown, .. }
                if compartment == living
        );
        own && e.at > from_s
    };
    let _ = job.advance_to(STORAGE_S + 2 * HOUR_S, &mut entries);
    assert_eq!(entries.iter().filter(|e| logged(STORAGE_S, e)).count(), 0);
    assert_eq!(steel(&mut job, from(living), &mut entries), Ok(()));
    let back_s = job.now();
    let _ = job.advance_to(back_s + 2 * HOUR_S, &mut entries);
    assert!(entries.iter().any(|e| logged(back_s, &e)));
    let own = job.plant().truth(living, Quantity::PpO2, job.now());
    assert!((job.plant().read(second, job.now()) - own).abs() < 0.03);
    // The trunk is sampled by nobody, and a gauge has no sample line.
    assert_eq!(
        steel(&mut job, from(trunk), &mut entries),
        Err(Refused::NoSuchThing)
    );
    let gauge = SteelOrder::SampleFrom {
        instrument: gauge,
        from: bell,
    };
    assert_eq!(
        steel(&mut job, gauge, &mut entries),
        Err(Refused::NoSampleLine)
    );
}

/// Zero by helium and span by the calibration gas. With the right gas the analyser shows the truth afterwards; with a
/// bottle that holds 6.6 % and says 6 % it shows ten parts in eleven of it, and nobody is told. One that holds 12 % is
/// beyond what the screw can turn.
#[test]
fn zero_and_span_are_as_good_as_their_bottles() {
    for (holds, share) in [(0.06, Some(1.0)), (0.066, Some(6.0 / 6.6)), (0.12, None)] {
        let mut scenario = short();
        let (c1, h1) = (bank(&scenario, "C-1"), bank(&scenario, "H-1"));
        let first = analyser(&scenario, "Living", Quantity::PpO2, Channel::Primary);
        let living = named(&scenario, "Living");
        scenario = scenario.with_fault(deepstay_scenario::Fault {
            at: 0,
            until: None,
            what: FaultKind::WrongContents {
                bank: c1,
                mix: Amounts::heliox(holds),
            },
        });
        let (mut job, mut entries) = sat_in_storage(scenario);
        let by = |part, bank| SteelOrder::Adjust {
            instrument: first,
            bank,
            part,
        };
        assert_eq!(
            steel(&mut job, by(Adjusted::Zero, h1), &mut entries),
            Ok(())
        );
        let spanned = steel(&mut job, by(Adjusted::Span, c1), &mut entries);
        let Some(share) = share else {
            assert_eq!(spanned, Err(Refused::EndOfScrew));
            continue;
        };
        assert_eq!(spanned, Ok(()));
        let truly = job.plant().truth(living, Quantity::PpO2, job.now());
        let shows = job.plant().read(first, job.now());
        assert!(
            (shows - share * truly).abs() < 0.004,
            "{holds}: {shows} of {truly}"
        );
        // As found and as left stand in the stream: as left what the label makes at the chamber's 7.0 bar.
        let left = entries.iter().find_map(|e| match e.what {
            What::Adjusted {
                part: Adjusted::Span,
                as_left,
                ..
            } => Some(as_left),
            _ => None,
        });
        let bar = 1.013 + 0.1 * depth(&job, living);
        let left = left.expect("it is told");
        assert!((left - 0.06 * bar).abs() < 0.003, "{left} at {bar} bar");
        assert_eq!(
            steel(&mut job, by(Adjusted::Span, h1), &mut entries),
            Err(Refused::HoldsNone)
        );
    }
}

/// A diver in the chamber shuts off what leaks there from inside; from another vessel, or with nothing leaking, there is
/// nothing to shut.
#[test]
fn a_diver_shuts_the_inboard_hull_stop() {
    let scenario = short();
    let living = named(&scenario, "Living");
    let (mut job, mut entries) = sat_in_storage(scenario);
    let diver = job
        .crew()
        .ids()
        .find(|d| job.crew().whereabouts(*d) == Whereabouts::In(living))
        .expect("somebody is in there");
    let stop = PeopleOrder::InboardStop { diver, shut: true };
    assert!(people(&mut job, stop, &mut entries).is_err());
    let leak = Act::Fault(FaultKind::Leak {
        compartment: living,
        area_m2: 2e-6,
        hull_stop: true,
    });
    assert_eq!(job.act_at_once(Station::Script, leak, &mut entries), Ok(()));
    let _ = job.advance_to(STORAGE_S + 120, &mut entries);
    let leaking = depth(&job, living);
    let _ = job.advance_to(STORAGE_S + 180, &mut entries);
    let lost = leaking - depth(&job, living);
    assert_eq!(people(&mut job, stop, &mut entries), Ok(()));
    let stopped = depth(&job, living);
    let _ = job.advance_to(STORAGE_S + 240, &mut entries);
    let still = stopped - depth(&job, living);
    // What has expanded is colder, and warms: a little of the depth comes back by itself.
    assert!(lost > 0.05 && still.abs() < 0.15 * lost, "{lost} {still}");
    let told = What::InboardStop {
        diver,
        compartment: living,
        shut: true,
    };
    assert!(entries.iter().any(|e| e.what == told));
}

/// A hand takes a meal through the medical lock for a person: both doors in their sequence, never both open, shut again
/// at the end; a lock has room for so many who wait.
#[test]
fn a_hand_takes_a_run_through_a_lock() {
    let scenario = short();
    let lock = named(&scenario, "Medical lock");
    let living = named(&scenario, "Living");
    let doors: Vec<DoorId> = (0u8..)
        .map(DoorId)
        .zip(&scenario.steel.doors)
        .filter(|(_, d)| d.a == lock || d.b == Some(lock))
        .map(|(id, _)| id)
        .collect();
    assert_eq!(doors.len(), 2);
    let (mut job, mut entries) = sat_in_storage(scenario);
    entries.clear();
    let run = |lock| Act::LockRun {
        lock,
        routine: Routine::Meal,
    };
    let not = job.act_at_once(Station::Saturation, run(living), &mut entries);
    assert_eq!(not, Err(Refused::NoSuchThing));
    for _ in 0..4 {
        let asked = job.act_at_once(Station::Saturation, run(lock), &mut entries);
        assert_eq!(asked, Ok(()));
    }
    let fifth = job.act_at_once(Station::Saturation, run(lock), &mut entries);
    assert_eq!(fifth, Err(Refused::Busy));
    let _ = job.advance_to(STORAGE_S + 6 * HOUR_S, &mut entries);
    let runs = entries.iter().filter(|e| {
        matches!(e.what, What::Routine { compartment, routine: Routine::Meal, .. } if compartment == lock)
    });
    assert_eq!(runs.count(), 4);
    let mut open = vec![false; doors.len()];
    let mut opened = vec![0; doors.len()];
    for e in &entries {
        if let What::Door { door, state } = e.what
            && let Some(k) = doors.iter().position(|d| *d == door)
        {
            opened[k] += usize::from(state == DoorState::Open && !open[k]);
            open[k] = state == DoorState::Open;
            assert!(!open.iter().all(|o| *o), "both open at {}", e.at);
        }
    }
    assert_eq!(open, [false, false]);
    // In once a run; out to be loaded, and out again to be emptied.
    opened.sort_unstable();
    assert_eq!(opened, [4, 8]);
}

/// Whoever sits down in the middle of a run finds the lock as it stands: nobody goes on with it for him.
#[test]
fn a_run_that_somebody_else_began_is_left_as_it_stands() {
    let scenario = short();
    let lock = named(&scenario, "Medical lock");
    let mut entries = Vec::new();
    let mut job = Job::new(Arc::new(scenario), Options::default());
    // The first lock run that begins in storage.
    let begun_s = loop {
        let at = job.now() + 60;
        assert_eq!(job.advance_to(at, &mut entries), Halt::Reached);
        let began = entries
            .iter()
            .find(|e| matches!(e.what, What::Routine { compartment, .. } if compartment == lock));
        if let Some(began) = began {
            break began.at;
        }
    };
    let act = Act::Sit {
        station: Station::Saturation,
        sitter: Sitter::Person,
    };
    let _ = job.act_at_once(Station::Saturation, act, &mut entries);
    let from_s = job.now();
    assert!(from_s - begun_s < 120);
    let _ = job.advance_to(from_s + 2 * HOUR_S, &mut entries);
    let steel = &job.scenario().steel;
    let moved = entries.iter().filter(|e| match e.what {
        What::Door { door, .. } => {
            let plate = &steel.doors[door.index()];
            e.at > from_s && (plate.a == lock || plate.b == Some(lock))
        }
        _ => false,
    });
    assert_eq!(moved.count(), 0);
}

/// Of those who are there nine in ten are seen at a look (house figure), of those who are not nobody. Over 400 looks the
/// count lies where a binomial distribution has all but a millionth of its weight.
#[test]
fn a_camera_sees_who_is_there_but_not_into_every_corner() {
    let scenario = short();
    let living = named(&scenario, "Living");
    let lock = named(&scenario, "Medical lock");
    let (mut job, mut entries) = sat_in_storage(scenario);
    let there = |job: &Job| {
        let ids = job.crew().ids();
        ids.filter(|d| job.crew().whereabouts(*d) == Whereabouts::In(living))
            .fold(0u64, |bits, d| bits | 1 << d.index())
    };
    let (mut looked, mut seen_all) = (0u64, 0u64);
    for k in 1..=400 {
        let _ = job.advance_to(STORAGE_S + k, &mut NoRecord);
        entries.clear();
        let look = Act::Camera {
            compartment: living,
        };
        assert_eq!(
            job.act_at_once(Station::Saturation, look, &mut entries),
            Ok(())
        );
        let seen = entries.iter().find_map(|e| match e.what {
            What::Camera { seen, .. } => Some(seen),
            _ => None,
        });
        let (seen, there) = (seen.expect("it is told"), there(&job));
        assert_eq!(seen & !there, 0);
        looked += u64::from(there.count_ones());
        seen_all += u64::from(seen.count_ones());
    }
    let chance = Binomial::new(1.0 - BLIND_SHARE, looked).expect("a chance");
    let (low, high) = (chance.cdf(seen_all), chance.sf(seen_all));
    assert!(low > 5e-7 && high > 5e-7, "{seen_all} of {looked}");
    let look = Act::Camera { compartment: lock };
    let refused = job.act_at_once(Station::Saturation, look, &mut entries);
    assert_eq!(refused, Err(Refused::NoSuchThing));
}

/// The automatic watch that sits down again turns back what it never turns itself, before anything else needs it.
#[test]
fn the_automatic_watch_sets_back_what_a_person_turned() {
    let scenario = short();
    let living = named(&scenario, "Living");
    let (m1, bell) = (bank(&scenario, "M-1"), named(&scenario, "Bell"));
    let second = analyser(&scenario, "Living", Quantity::PpO2, Channel::Secondary);
    let (mut job, mut entries) = sat_in_storage(scenario);
    let untouched = job.indicated();
    for order in [
        SteelOrder::BankStop {
            bank: m1,
            shut: true,
        },
        SteelOrder::Regulator {
            line: LineName::Supply(living),
            over_pa: 1e5,
        },
        SteelOrder::Regulator {
            line: LineName::Bibs(living),
            over_pa: 0.0,
        },
        SteelOrder::SampleFrom {
            instrument: second,
            from: bell,
        },
    ] {
        assert_eq!(steel(&mut job, order, &mut entries), Ok(()));
    }
    let act = Act::Sit {
        station: Station::Saturation,
        sitter: Sitter::Automatic,
    };
    assert_eq!(
        job.act_at_once(Station::Saturation, act, &mut entries),
        Ok(())
    );
    let seen = job.indicated();
    assert!(seen.banks.iter().all(|b| !b.stopped));
    let over = |seen: &deepstay_job::Indicated| -> Vec<f64> {
        let all = seen.vessels.iter().flat_map(|v| &v.regulators);
        all.map(|r| r.over_bar).collect()
    };
    assert_eq!(over(&seen), over(&untouched));
    let turned = |v: &deepstay_job::Vessel| v.readings.iter().any(|r| r.turned_to.is_some());
    assert!(!seen.vessels.iter().any(turned));
}
