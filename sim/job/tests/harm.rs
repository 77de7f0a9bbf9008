//! Whole small jobs in which somebody comes to harm, or would have: from their entries alone, and the same to the bit
//! whether seconds are leapt over or not and however often the job is looked at. Display and training only.

use deepstay_core::record::{
    BreathingPath, Entry, Fitness, HarmBook, HarmCause, LineName, Sink, Spoken, Station, What,
    Whereabouts,
};
use deepstay_core::units::*;
use deepstay_crew::harm::Effort;
use deepstay_job::{Ended, Halt, Harm, Job, Options};
use deepstay_plant::{Order, PeopleOrder, SteelOrder};
use deepstay_scenario::{JobTexts, Patch, Scenario, To};
use std::sync::Arc;

const LIVING: CompartmentId = CompartmentId(0);
const BELL: CompartmentId = CompartmentId(3);
const HOUR_S: i64 = 3600;

fn short(patches: &[(&str, &str)]) -> Arc<Scenario> {
    let texts = JobTexts::open("short", None).expect("built in");
    let patches: Vec<Patch> = patches
        .iter()
        .map(|(path, to)| Patch {
            path: (*path).into(),
            to: To::Text((*to).into()),
        })
        .collect();
    Arc::new(
        texts
            .scenario(&patches)
            .unwrap_or_else(|bad| panic!("{bad}")),
    )
}

/// The short job with a fault in it.
fn with_fault(fault: &str) -> Arc<Scenario> {
    let text = deepstay_scenario::Kind::Job
        .text("short")
        .expect("built in");
    let at = text.rfind("\n)").expect("the job's last bracket");
    let text = format!("{}\n    faults: (planned: [{fault}]),\n)\n", &text[..at]);
    let made = deepstay_scenario::from_text(&text, "short with a fault", None);
    Arc::new(made.unwrap_or_else(|bad| panic!("{bad}")))
}

fn bank(scenario: &Scenario, name: &str) -> BankId {
    let at = scenario.steel.banks.iter().position(|b| b.name == name);
    BankId(at.expect("such a bank") as u8)
}

fn said(entries: &[Entry], who: DiverId) -> Vec<(i64, Spoken)> {
    let of = |e: &Entry| match e.what {
        What::Said { diver, report } if diver == who => Some((e.at, report)),
        _ => None,
    };
    entries.iter().filter_map(of).collect()
}

fn harm(entries: &[Entry]) -> HarmBook {
    let mut book = HarmBook::default();
    entries.iter().for_each(|e| book.take(*e));
    book
}

/// Runs a job to a second with orders at seconds, looking at it `every_s`.
fn run(
    scenario: &Arc<Scenario>,
    leap: bool,
    every_s: i64,
    orders: &[(i64, Order)],
    to_s: i64,
) -> (Vec<Entry>, Job) {
    let mut job = Job::new(scenario.clone(), Options::default().leap(leap));
    let mut entries = Vec::new();
    let mut orders = orders.iter().peekable();
    while job.now() < to_s && job.ended().is_none() {
        while orders.peek().is_some_and(|(at, _)| *at == job.now()) {
            job.order(Station::Script, orders.next().expect("peeked").1);
        }
        let next = orders.peek().map_or(to_s, |(at, _)| *at);
        let _ = job.advance_to((job.now() + every_s).min(next).min(to_s), &mut entries);
    }
    (entries, job)
}

/// Leapt and looked at once, or second by second: the same entries and the same state.
fn both_ways(scenario: &Arc<Scenario>, orders: &[(i64, Order)], to_s: i64) -> (Vec<Entry>, Job) {
    let (entries, job) = run(scenario, true, i64::MAX / 2, orders, to_s);
    let (again, other) = run(scenario, false, 97, orders, to_s);
    let first = entries.iter().zip(&again).find(|(a, b)| a != b);
    assert_eq!(first, None);
    assert_eq!(entries.len(), again.len());
    assert_eq!(job.state_hash(), other.state_hash());
    (entries, job)
}

#[test]
fn pure_helium_to_a_diver_takes_him_out_in_seconds_and_the_log_says_so() {
    // On open circuit: a helmet on the reclaim loop is fed by the loop.
    let scenario = short(&[("plan.reclaim", "false")]);
    // When somebody is at hard work in the water.
    let mut job = Job::new(scenario.clone(), Options::default());
    let mut entries = Vec::new();
    let hard = |job: &Job| {
        let crew = job.crew();
        crew.outside(BELL)
            .find(|d| Effort::from(crew.activity(*d)) == Effort::Hard)
    };
    while hard(&job).is_none() {
        assert!(job.now() < 20 * HOUR_S, "nobody works");
        let _ = job.advance_to(job.now() + 60, &mut entries);
    }
    let (who, at) = (hard(&job).expect("somebody"), job.now() + 600);
    let line = LineName::DiverMain(BELL);
    let order = Order::Steel(SteelOrder::LineUp {
        line,
        bank: bank(&scenario, "H-1"),
    });
    let (entries, _) = both_ways(&scenario, &[(at, order)], at + 300);
    let book = harm(&entries);
    let one = book.of(who).expect("he is not well");
    println!(
        "from {at}: {:?}; heard {:?}",
        one.changes,
        said(&entries, who)
    );
    let out = one
        .changes
        .iter()
        .find(|c| c.to == Fitness::Out)
        .expect("out");
    assert!((at + 12..=at + 45).contains(&out.at_s));
    assert_eq!(out.cause, HarmCause::LowOxygen);
    let heard: Vec<Spoken> = said(&entries, who).into_iter().map(|s| s.1).collect();
    let first = heard.iter().position(|s| *s == Spoken::SlowAnswers);
    let then = heard.iter().position(|s| *s == Spoken::NoAnswer);
    assert!(first.expect("slow answers") < then.expect("then none"));
    assert!(book.hurt().any(|h| h.diver == who));
}

#[test]
fn a_mask_on_an_empty_bank_gives_nothing_and_he_says_so_and_takes_it_off() {
    let scenario = short(&[("stock.banks[T-1].bottles", "16 x 50 L at 2 bar")]);
    let (who, at) = (DiverId(0), 5 * HOUR_S);
    let orders = [
        Order::Steel(SteelOrder::LineUp {
            line: LineName::Bibs(LIVING),
            bank: bank(&scenario, "T-1"),
        }),
        Order::People(PeopleOrder::Breathe {
            diver: who,
            path: BreathingPath::Bibs,
        }),
    ]
    .map(|order| (at, order));
    let (entries, job) = both_ways(&scenario, &orders, at + HOUR_S);
    assert_eq!(job.crew().whereabouts(who), Whereabouts::In(LIVING));
    let no_gas = said(&entries, who)
        .into_iter()
        .filter(|s| s.1 == Spoken::NoGas);
    assert_eq!(no_gas.collect::<Vec<_>>(), [(at + 1, Spoken::NoGas)]);
    let breathed: Vec<(i64, BreathingPath)> = entries
        .iter()
        .filter_map(|e| match e.what {
            What::Breathing { diver, path, .. } if diver == who => Some((e.at, path)),
            _ => None,
        })
        .collect();
    assert_eq!(
        breathed,
        [(at, BreathingPath::Bibs), (at + 6, BreathingPath::Ambient)]
    );
    assert_eq!(harm(&entries).unwell().count(), 0);
    let moved = entries.iter().any(|e| {
        matches!(e.what, What::Moved { purpose: Purpose::Bibs, moles, .. } if moles.total() != 0.0)
    });
    assert!(!moved, "a dead line moves nothing");
}

#[test]
fn six_men_without_oxygen_make_up_are_slow_for_hours_and_out_within_one() {
    let stuck: Vec<String> = ["Living", "Transfer", "Rescue"]
        .iter()
        .map(|c| {
            format!("(at: \"6 h\", what: StuckValve(valve: Oxygen(\"{c}\"), opening: \"0 %\"))")
        })
        .collect();
    // Nor any gas that masks could give them: the watch would put them on it.
    let mut scenario = Arc::unwrap_or_clone(with_fault(&stuck.join(", ")));
    for bank in &mut scenario.steel.banks {
        if matches!(
            bank.duty,
            Duty::Emergency | Duty::Treatment | Duty::DiverGas
        ) {
            bank.duty = Duty::Calibration;
        }
    }
    let scenario = Arc::new(scenario);
    let (entries, job) = run(&scenario, true, i64::MAX / 2, &[], 200 * HOUR_S);
    let book = harm(&entries);
    for one in book.unwell() {
        println!("{:?}: {:?}", one.diver, one.changes);
    }
    println!("ended {:?} at {} h", job.ended(), job.now() as f64 / 3600.0);
    assert!(matches!(
        job.ended(),
        Some(Ended::Died(_, HarmCause::LowOxygen))
    ));
    let first_slow = book
        .unwell()
        .map(|o| o.changes[0].at_s)
        .min()
        .expect("slow");
    let died = job.now();
    assert!(died - first_slow > 2 * HOUR_S, "hours of warning");
    let slow_at = |d: DiverId| book.of(d).map(|o| o.changes[0]);
    assert!(scenario.crew.iter().enumerate().all(|(i, _)| {
        slow_at(DiverId(i as u8)).is_some_and(|c| c.cause == HarmCause::LowOxygen)
    }));
}

#[test]
fn a_hole_that_takes_the_chambers_pressure_kills_and_the_job_can_go_on() {
    let hole = "(at: \"20 h\", what: Leak(compartment: \"Living\", bore: \"150 mm\"))";
    let scenario = with_fault(hole);
    let mut job = Job::new(scenario.clone(), Options::default().harm(Harm::GoesOn));
    let mut entries = Vec::new();
    assert_eq!(job.advance_to(30 * HOUR_S, &mut entries), Halt::Reached);
    let book = harm(&entries);
    for one in book.hurt() {
        println!("{:?}: {:?}", one.diver, one.changes);
    }
    assert!(book.hurt().count() >= 3);
    assert!(book.hurt().all(|h| h.worst.to == Fitness::Dead));
    assert!(
        book.hurt()
            .any(|h| h.worst.cause == HarmCause::PressureLoss)
    );
    let (entries, job) = both_ways(&scenario, &[], 21 * HOUR_S);
    assert!(matches!(job.ended(), Some(Ended::Died(..))));
    assert!(harm(&entries).hurt().count() > 0);
}

#[test]
fn on_a_good_job_and_on_a_bad_night_everybody_stays_well() {
    for name in ["short", "bad-night"] {
        let scenario = deepstay_scenario::load(name).unwrap_or_else(|bad| panic!("{bad}"));
        let mut job = Job::new(scenario.into(), Options::default());
        let mut entries = Vec::new();
        let (mut looks, mut at_rest) = (0, 0);
        while job.ended().is_none() {
            let _ = job.advance_to(job.now() + 599, &mut entries);
            looks += 1;
            at_rest += u32::from(job.crew().at_rest());
        }
        println!("{name}: at rest at {at_rest} of {looks} looks");
        for one in harm(&entries).unwell() {
            println!("{name} {:?}: {:?}", one.diver, one.changes);
        }
        assert_eq!(harm(&entries).unwell().count(), 0, "{name}");
        assert_eq!(job.ended(), Some(Ended::Surfaced), "{name}");
        // Else a quiet job would be followed by the second.
        assert!(20 * at_rest > 19 * looks, "{name}: {at_rest} of {looks}");
    }
}
