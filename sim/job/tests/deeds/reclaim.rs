//! The loop that brings divers' gas back, from the entries of a week of the six-man job: what a richer make-up mix alone
//! settles at, by closed form, and what a trickle of oxygen holds.

use super::*;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::{
    AlarmState, Finding, LineName, Machine, Station, ValveName, Whereabouts,
};
use deepstay_plant::{Order, SteelOrder};
use deepstay_scenario::Weather;

/// Where the sums are made: six and a half days, after five and a half of diving round the clock.
const AT_S: i64 = 13 * 43_200;
const RECOVERY: f64 = 0.88;

/// The six-man job in calm weather; without its trickle, where asked for, and with alarms that leave the loop running.
fn six_men(trickle: bool) -> Ran {
    let mut scenario = load("six-man").unwrap_or_else(|bad| panic!("{bad}"));
    scenario.site.weather = Weather::Calm;
    let reclaim = scenario.steel.reclaim.as_mut().expect("there is a loop");
    if !trickle {
        reclaim.trickle = None;
        reclaim.alarms.low_o2_pa = 1.0;
        let tank = reclaim.tank.index();
        scenario.steel.compartments[tank].oxygen_m2 = 0.0;
    }
    run_to(scenario, AT_S)
}

fn tank(ran: &Ran) -> Place {
    Place::Compartment(named(&ran.scenario, "Reclaim"))
}

/// What lies in the loop at the end.
fn in_loop(ran: &Ran) -> Amounts {
    held(ran, tank(ran), AT_S)
}

/// What lies in a place at a second by the entries: what there was, and what came, less what went, mol by species.
fn held(ran: &Ran, of: Place, at_s: i64) -> Amounts {
    let mut sum = Amounts::ZERO;
    for entry in ran.entries.iter().take_while(|e| e.at <= at_s) {
        match entry.what {
            What::Opening { place, moles } if place == of => sum = sum.plus(&moles),
            What::Moved {
                from, to, moles, ..
            } => {
                let sign = |place| f64::from(i8::from(place == of));
                sum = sum.plus(&moles.scaled(sign(to) - sign(from)));
            }
            _ => {}
        }
    }
    sum
}

/// At 118 msw a body keeps 0.33 % of each breath, and with 88 % brought back a make-up mix of 5 % settles at 2.6 %:
/// 5 - 0.33 x 0.88 / 0.12. That is the first order of the balance of oxygen in a tank that keeps its moles, with make-up
/// M at x_m, q breathed, b kept by bodies and s to the analysers:
/// M = (1 - r)(q - b) + b + s, and x_m M = (1 - r)(q x - b) + b + s x.
#[test]
fn a_richer_make_up_mix_alone_settles_where_the_balance_says() {
    let ran = six_men(false);
    let tank = tank(&ran);
    let day = (AT_S - 86_400, AT_S);
    let moved = |purpose: Purpose, to_is: &dyn Fn(Place) -> bool| {
        ran.moved(
            day,
            |from, to, p| from == tank && to_is(to) && p == purpose,
            Amounts::total,
        )
    };
    let kept = moved(Purpose::DiverGas, &|to| to == Place::Body);
    let lost = moved(Purpose::DiverGas, &|to| to == Place::Sea);
    let back = moved(Purpose::Reclaimed, &|to| to == tank);
    let sampled = moved(Purpose::Sample, &|_| true);
    let breathed = kept + lost + back;
    let (e, s) = (kept / breathed, sampled / breathed);
    println!("kept of each breath: {:.3} %", 100.0 * e);
    assert!((e - 0.0033).abs() < 0.0006, "{e}");
    let x = in_loop(&ran).fractions()[Species::O2];
    let first_order = 0.05 - e * RECOVERY / (1.0 - RECOVERY);
    let whole =
        (0.05 * ((1.0 - RECOVERY) * (1.0 - e) + e + s) - RECOVERY * e) / (1.0 - RECOVERY + s);
    println!(
        "oxygen in the loop {:.3} %, by the balance {:.3} %, by its first order {:.3} %",
        100.0 * x,
        100.0 * whole,
        100.0 * first_order
    );
    assert!((x / whole - 1.0).abs() < 0.02);
    assert!((first_order - whole).abs() < 0.0025);
    let oxygen = ran.moved(
        (0, AT_S),
        |_, to, p| to == tank && p == Purpose::Oxygen,
        Amounts::total,
    );
    assert_eq!(oxygen, 0.0, "nothing but the mix brings oxygen");
}

/// With its trickle the loop keeps what its stations aim at, 0.6 bar; what the bodies keep is what the trickle brings,
/// less what is richer in the mix; and no gas of the bank for open circuit is drawn.
#[test]
fn a_trickle_of_oxygen_holds_what_is_supplied() {
    let ran = six_men(true);
    let tank = tank(&ran);
    let fraction = in_loop(&ran).fractions()[Species::O2];
    // 12.813 bar at 118 msw.
    assert!((fraction * 12.813 - 0.6).abs() < 0.06, "{fraction}");
    let all = |is: &dyn Fn(Place, Place, Purpose) -> bool, of: Species| {
        ran.moved((0, AT_S), is, |n| n[of])
    };
    let kept = all(
        &|from, to, _| from == tank && to == Place::Body,
        Species::O2,
    );
    let trickle = all(&|_, to, p| to == tank && p == Purpose::Oxygen, Species::O2);
    assert!(
        kept > 100.0 && (trickle / kept - 1.0).abs() < 0.15,
        "{trickle} for {kept}"
    );
    let bank = |name: &str| {
        let banks = &ran.scenario.steel.banks;
        let at = banks.iter().position(|b| b.name == name);
        Place::Bank(BankId(at.expect("the bank") as u8))
    };
    let standby = bank("D-3");
    let drawn = ran.moved((0, AT_S), |from, _, _| from == standby, Amounts::total);
    assert_eq!(drawn, 0.0);
    let touched = ran.entries.iter().any(|e| {
        matches!(e.what, What::LinedUp { line: LineName::Supply(c), bank: b }
            if Place::Compartment(c) == tank && Place::Bank(b) == standby)
    });
    assert!(
        !touched,
        "the loop never draws from the bank for open circuit"
    );
}

/// Alarms of the loop that rang, were acknowledged, returned: second, state, value.
fn alarms(entries: &[Entry], tank: CompartmentId) -> Vec<(i64, AlarmState, f64)> {
    let of = |e: &Entry| match e.what {
        What::Alarm {
            name, state, value, ..
        } if name.compartment == tank => Some((e.at, state, value)),
        _ => None,
    };
    entries.iter().filter_map(of).collect()
}

/// An alarm of the loop rings in dive control, is acknowledged after a person's time (house: 5 to 30 s), and its divers
/// are on open circuit from that second; it is no limit. Its set point is put where what is supplied must pass it: the
/// charge of 5 % is 0.6406 bar at 118 msw (12.81 bar), its analysers are out by up to their accuracy, and the men draw
/// it down towards the 0.6 bar that the trickle aims at.
#[test]
fn an_alarm_of_the_loop_rings_and_the_divers_go_on_open_circuit() {
    let mut scenario = load("six-man").unwrap_or_else(|bad| panic!("{bad}"));
    scenario.site.weather = Weather::Calm;
    let reclaim = scenario.steel.reclaim.as_mut().expect("there is a loop");
    reclaim.alarms.low_o2_pa = 0.6415e5;
    let ran = run_to(scenario, 3 * 86_400);
    let tank = named(&ran.scenario, "Reclaim");
    let heard = alarms(&ran.entries, tank);
    let (rang_s, state, value) = heard[0];
    assert_eq!(state, AlarmState::Unacknowledged);
    assert!((0.64..0.6415).contains(&value), "{value}");
    let off = ran.when(|w| {
        matches!(
            w,
            What::Machine {
                machine: Machine::Reclaim,
                on: false,
                ..
            }
        )
    });
    let written = ran.when(|w| matches!(w, What::Found { finding: Finding::LoopUnfit, compartment, .. } if *compartment == tank));
    assert!(off.contains(&rang_s) && written.contains(&rang_s));
    // Nothing is fed by the loop any more, and the alarm has returned before anybody came to it.
    let states: Vec<AlarmState> = heard.iter().map(|(_, state, _)| *state).take(3).collect();
    let after = [
        AlarmState::Unacknowledged,
        AlarmState::ReturnedUnacknowledged,
        AlarmState::Normal,
    ];
    assert_eq!(states, after);
    assert!((5..=30).contains(&(heard[2].0 - rang_s)));
    let limits = ran.when(|w| matches!(w, What::Limit { name, .. } if name.compartment == tank));
    assert!(limits.is_empty());
}

/// With nobody in dive control it rings all the same, by the charge at the surface: 5 % is 0.05 bar there, under the
/// least that may be supplied; nobody acknowledges it, and it returns when the loop is switched off.
#[test]
fn an_alarm_of_the_loop_rings_with_nobody_to_hear_it() {
    let scenario = load("six-man").unwrap_or_else(|bad| panic!("{bad}"));
    let (tank, bell) = (named(&scenario, "Reclaim"), named(&scenario, "Bell"));
    let options = Options::default().stations(Sitter::Nobody);
    let mut job = Job::new(Arc::new(scenario), options);
    let mut entries: Vec<Entry> = Vec::new();
    for (on, until_s) in [(true, 600), (false, 660)] {
        let order = SteelOrder::Switch {
            compartment: bell,
            machine: Machine::Reclaim,
            on,
        };
        job.order(Station::Student, Order::Steel(order));
        let _ = job.advance_to(until_s, &mut entries);
    }
    let states: Vec<(i64, AlarmState)> = alarms(&entries, tank)
        .iter()
        .map(|(at, state, _)| (*at, *state))
        .collect();
    assert_eq!(states.len(), 2, "{states:?}");
    assert!(states[0].0 < 60 && states[0].1 == AlarmState::Unacknowledged);
    assert_eq!(states[1], (600, AlarmState::ReturnedUnacknowledged));
}

/// The whole six-man job, its last run done.
fn month() -> Ran {
    run_to(
        load("six-man").unwrap_or_else(|bad| panic!("{bad}")),
        25 * 86_400,
    )
}

/// The file of the acts that the independent sum is made of.
fn acts_file() -> std::path::PathBuf {
    let here = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    here.join("../../tests/reference/data/six_man_loop_acts.csv")
}

/// Writes what was done at the loop in the six-man month, for `tests/reference/six_man_loop.py`.
#[test]
#[ignore = "writes a file of the reference"]
fn acts_of_the_six_man_loop() {
    let ran = month();
    let Place::Compartment(tank) = tank(&ran) else {
        unreachable!("a tank is a compartment")
    };
    let mut wet = [false; 6];
    let mut text = String::from("# Written by the ignored test acts_of_the_six_man_loop.\n");
    let mut act = |at: i64, what: &str, value: &str| text += &format!("{at},{what},{value}\n");
    for entry in &ran.entries {
        match entry.what {
            What::Diver { diver, to } => {
                let now = matches!(to, Whereabouts::Water(_));
                if std::mem::replace(&mut wet[diver.index()], now) != now {
                    act(entry.at, "water", if now { "1" } else { "-1" });
                }
            }
            What::Machine {
                machine: Machine::Reclaim,
                on,
                ..
            } => act(entry.at, "reclaim", if on { "on" } else { "off" }),
            What::Valve {
                valve: ValveName::Oxygen(c),
                opening,
            } if c == tank => act(entry.at, "trickle", &opening.to_string()),
            What::LinedUp {
                line: LineName::Supply(c),
                bank,
            } if c == tank => {
                let banks = &ran.scenario.steel.banks;
                act(entry.at, "make-up", &banks[bank.index()].name);
            }
            _ => {}
        }
    }
    act(ran.now_s, "end", "");
    std::fs::write(acts_file(), text).expect("the reference is in the house");
}

/// Oxygen of each of the divers' banks, of the trickle's bank and of the loop at each day's end of the six-man month,
/// within 1 % of the independent sum in Python.
#[test]
fn oxygen_of_the_six_man_month_is_that_of_the_independent_sum() {
    let ran = month();
    let place = |name: &str| {
        let banks = &ran.scenario.steel.banks;
        let at = banks.iter().position(|b| b.name == name);
        Place::Bank(BankId(at.unwrap_or_else(|| panic!("no {name}")) as u8))
    };
    let file = acts_file().with_file_name("six_man_loop.csv");
    let mut rows = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(file)
        .expect("the independent sum is in the house");
    let heads: Vec<String> = rows
        .headers()
        .expect("heads")
        .iter()
        .map(Into::into)
        .collect();
    let (mut days, mut furthest) = (0, 0.0f64);
    for row in rows.records() {
        let row = row.expect("a row");
        let at_s: i64 = row[0].parse().expect("a second");
        days += 1;
        for (head, theirs) in heads.iter().zip(row.iter()).skip(1) {
            let theirs: f64 = theirs.parse().expect("a number");
            let ours = if head == "loop" {
                held(&ran, tank(&ran), at_s).fractions()[Species::O2]
            } else {
                held(&ran, place(head), at_s)[Species::O2]
            };
            let off = ours / theirs - 1.0;
            furthest = furthest.max(off.abs());
            assert!(
                off.abs() < 0.01,
                "{head} at {at_s}: {ours} here, {theirs} there"
            );
        }
    }
    println!("{days} days, furthest off {:.3} %", furthest * 100.0);
    assert_eq!(days, 25);
}
