//! What stands ready before anybody needs it, and what the day owes each diver: masks fed from before the men go in
//! and at every depth after, a rate of pressing that a fresh bank does not break, ear drops and washing of men who go
//! to the bell at any hour.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

use super::*;
use deepstay_core::record::{LineName, Routine, Whereabouts};
use deepstay_scenario::{JobTexts, Patch, To};

const DAY_S: i64 = 86_400;

/// Emergency ppO2, bar: 0.16 to 1.25 ata (US Navy Diving Manual, saturation chapter).
const BREATHABLE_BAR: (f64, f64) = (0.16 * 1.01325, 1.25 * 1.01325);
/// Oxygen that a label leaves unsaid, and a gauge between two looks 15 s apart at 3 msw/min, bar.
const BETWEEN_LOOKS_BAR: f64 = 0.05;

/// Each minute of a job of a week, in every chamber with a man in it, somebody who puts a mask on has gas that he can
/// breathe at that depth: on deck with the doors open, on the way down, at storage, on the way up. The first minute of
/// analysis is left out, when samples are on their way.
#[test]
fn whoever_puts_a_mask_on_has_gas_for_his_depth_from_the_first_minute() {
    let mut job = Job::new(Arc::new(short()), Options::default());
    let mut entries = Vec::new();
    let (mut seen, mut deepest, mut since_in_s) = (0, 0.0f64, None);
    let mut fed = std::collections::BTreeSet::new();
    while job.advance_to(job.now() + 60, &mut entries) == Halt::Reached {
        for diver in job.crew().ids() {
            let Whereabouts::In(c) = job.crew().whereabouts(diver) else {
                continue;
            };
            let plate = &job.scenario().steel.compartments[c.index()];
            if matches!(plate.kind, CompartmentKind::Bell | CompartmentKind::Trunk) {
                continue;
            }
            let since = *since_in_s.get_or_insert(job.now());
            if job.now() < since + 120 {
                continue;
            }
            let depth_msw = job.plant().truth(c, Quantity::Depth, job.now());
            let bank = job.indicated().lined_up(LineName::Bibs(c));
            let at = format!("{} at {} s, {depth_msw:.1} msw", plate.name, job.now());
            let bank = bank.unwrap_or_else(|| panic!("no bank on the masks of {at}"));
            let o2 = job.indicated().banks[bank.index()].label_o2;
            let ppo2_bar = o2 * (1.01325 + depth_msw / 10.0);
            let (low, high) = BREATHABLE_BAR;
            assert!(
                ppo2_bar > low - BETWEEN_LOOKS_BAR && ppo2_bar < high + BETWEEN_LOOKS_BAR,
                "{ppo2_bar:.3} bar on the masks of {at}"
            );
            fed.insert(bank);
            deepest = deepest.max(depth_msw);
            seen += 1;
        }
    }
    println!(
        "{seen} looks at a man's masks, to {deepest:.1} msw, by {} banks",
        fed.len()
    );
    assert!(seen > 10_000 && deepest > 55.0 && fed.len() >= 2);
}

/// Pressing goes from a bank that is nearly empty to a full one, twice: what the valve lets through changes with the
/// bank, and the depth gains no more than the rule's 3 msw in any minute (to 0.02 msw, the gauge's class over a minute).
#[test]
fn a_fuller_bank_presses_no_faster_than_the_rule() {
    let low = |bar: u32| format!("64 x 50 L at {bar} bar");
    let patches = [
        ("stock.banks[0].bottles", low(28)),
        ("stock.banks[1].bottles", low(45)),
    ];
    let texts = JobTexts::open("short", None).expect("built in");
    let patches: Vec<_> = patches
        .iter()
        .map(|(path, value)| Patch {
            path: (*path).to_owned(),
            to: To::Text(value.clone()),
        })
        .collect();
    let scenario = texts.scenario(&patches).expect("a job");
    let mut job = Job::new(Arc::new(scenario.clone()), Options::default());
    let living = named(&scenario, "Living");
    let (mut entries, mut before, mut fastest, mut by) = (Vec::new(), 0.0, 0.0f64, Vec::new());
    while before < 59.0 && job.now() < DAY_S {
        let _ = job.advance_to(job.now() + 60, &mut entries);
        let depth = job.plant().truth(living, Quantity::Depth, job.now());
        fastest = fastest.max(depth - before);
        before = depth;
        let bank = job.indicated().lined_up(LineName::Supply(living));
        if bank.is_some() && by.last() != Some(&bank) {
            by.push(bank);
        }
    }
    println!("fastest {fastest:.3} msw in a minute, by {by:?}");
    assert!(by.len() >= 3, "the bank was changed: {by:?}");
    assert!(fastest <= 3.02, "{fastest} msw in a minute");
    assert!(fastest > 2.5);
}

/// Six men of a month whose bell runs start at all hours: on each whole day under pressure each has ear drops twice and
/// washes once, and once more after each dive (US Navy Diving Manual, 15-18, the row of the job's set).
#[test]
fn each_day_owes_each_man_ear_drops_and_a_wash_whenever_he_dives() {
    let scenario = load("six-man").unwrap_or_else(|bad| panic!("{bad}"));
    let from_s = scenario.start_second_of_day;
    let ran = run_to(scenario, i64::MAX);
    let of = |routine: Routine, diver: DiverId| {
        ran.when(|w| match w {
            What::Routine {
                routine: r,
                diver: Some(d),
                ..
            } => (*r, *d) == (routine, diver),
            _ => false,
        })
    };
    let surfaced = ran.when(|w| {
        matches!(
            w,
            What::Phase {
                phase: deepstay_core::record::Phase::Surface,
                ..
            }
        )
    });
    let last_s = surfaced.last().copied().expect("they came up");
    let crew = (0..ran.scenario.crew.len() as u8).map(DiverId);
    let mut short_days = Vec::new();
    let mut days = 0;
    for diver in crew {
        for (routine, least) in [(Routine::EarDrops, 2), (Routine::Shower, 1)] {
            let times = of(routine, diver);
            let mut day_s = 2 * DAY_S - from_s;
            while day_s + DAY_S < last_s {
                let count = times
                    .iter()
                    .filter(|t| (day_s..day_s + DAY_S).contains(*t))
                    .count();
                if count < least {
                    short_days.push((diver, routine, day_s / DAY_S, count));
                }
                day_s += DAY_S;
                days += 1;
            }
        }
    }
    println!(
        "{days} days asked of, {} short: {short_days:?}",
        short_days.len()
    );
    assert!(days > 250);
    assert!(short_days.is_empty(), "{short_days:?}");
}
