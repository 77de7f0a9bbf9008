//! The bell in the sea: the tide that it and its divers feel, and the winch's time.

use super::*;
use deepstay_core::record::BellPhase;

/// The tide of the short job: 1.2 m about mean level, rising through it at second 0, once in 12.4206 h (the period
/// of the constituent M2 in tide tables, recalled).
fn tide_m(t_s: i64) -> f64 {
    1.2 * libm::sin(std::f64::consts::TAU * t_s as f64 / (12.4206 * 3600.0))
}

/// Through a day and a half of bell runs the sea over the bell on its working depth is 60 msw and the tide, and so
/// is the pressure in it while its bottom door is open. A metre of sea water of 1025 kg/m3 is 1.005 msw, so a
/// centimetre is allowed for 1.2 m.
#[test]
fn a_bell_at_its_working_depth_feels_the_tide() {
    let scenario = short();
    let bell = named(&scenario, "Bell");
    let mut job = Job::new(Arc::new(scenario), Options::default());
    let mut entries: Vec<Entry> = Vec::new();
    let (mut high, mut low, mut down) = (0, 0, false);
    let mut seen = 0;
    while job.now() < 44 * 3600 {
        let _ = job.advance_to(job.now() + 300, &mut entries);
        for e in &entries[seen..] {
            match e.what {
                What::BellPhase {
                    phase: BellPhase::FirstOut,
                    ..
                } => down = true,
                What::BellPhase {
                    phase: BellPhase::BottomSeal,
                    ..
                } => down = false,
                _ => {}
            }
        }
        seen = entries.len();
        if !down {
            continue;
        }
        let tide = tide_m(job.now());
        for quantity in [Quantity::SeaDepth, Quantity::Depth] {
            let is = job.plant().truth(bell, quantity, job.now());
            assert!(
                (is - 60.0 - tide).abs() < 0.012,
                "{} s: {quantity:?} {is}, tide {tide}",
                job.now()
            );
        }
        high += i32::from(tide > 0.9);
        low += i32::from(tide < -0.9);
    }
    println!("looked at {high} times near high water, {low} times near low");
    assert!(high > 10 && low > 10);
}

/// 60 msw at 20 msw/min are 180 s, with 300 s over the side first, and again before it stands on deck: from the
/// file of the spread. The first run is looked at each second.
#[test]
fn the_winch_takes_its_time() {
    let scenario = short();
    let bell = named(&scenario, "Bell");
    let mut job = Job::new(Arc::new(scenario), Options::default());
    let mut entries: Vec<Entry> = Vec::new();
    let at = |entries: &[Entry], wanted: BellPhase| {
        let is = |e: &&Entry| matches!(e.what, What::BellPhase { phase, .. } if phase == wanted);
        entries.iter().find(is).map(|e| e.at)
    };
    let sea = |job: &Job| job.plant().truth(bell, Quantity::SeaDepth, job.now());
    let until = |job: &mut Job, entries: &mut Vec<Entry>, phase: BellPhase| {
        while at(entries, phase).is_none() {
            let _ = job.advance_to(job.now() + 1, entries);
            assert!(job.now() < 20 * 3600);
        }
        at(entries, phase).expect("it came")
    };
    let _ = job.advance_to(7 * 3600, &mut entries);
    let begun = until(&mut job, &mut entries, BellPhase::Lowering);
    let mut course = Vec::new();
    for _ in 0..600 {
        course.push((job.now() - begun, sea(&job)));
        let _ = job.advance_to(job.now() + 1, &mut entries);
    }
    for (t, msw) in course {
        let meant = ((t - 300).clamp(0, 180) as f64) / 3.0;
        let tide = if meant > 0.0 { tide_m(begun + t) } else { 0.0 };
        assert!(
            (msw - (meant + tide).max(0.0)).abs() < 0.4,
            "{t} s: {msw} msw, by the winch {meant}"
        );
    }
    let begun = until(&mut job, &mut entries, BellPhase::Recovery);
    let left = sea(&job);
    let mut on_deck = None;
    for _ in 0..600 {
        if sea(&job) == 0.0 {
            on_deck = on_deck.or(Some(job.now() - begun));
        }
        let _ = job.advance_to(job.now() + 1, &mut entries);
    }
    assert!((left - 60.0).abs() < 1.3);
    assert!(
        on_deck.is_some_and(|s| (179..=183).contains(&s)),
        "{on_deck:?}"
    );
    let mated = until(&mut job, &mut entries, BellPhase::Mating) - begun;
    assert!((480..=520).contains(&mated), "{mated} s to the deck");
}
