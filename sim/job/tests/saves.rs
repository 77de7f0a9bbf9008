//! A job put aside: whatever is wrong with a save is refused with the reason, and a good one goes on as the job
//! that was never put aside: the same entries, the same state to the last bit.

use deepstay_core::digest::Digest;
use deepstay_core::record::{Bands, Entry, NoRecord, Sink, Station, What};
use deepstay_core::units::*;
use deepstay_job::random::Streams;
use deepstay_job::{Halt, Job, Options, RestoreError};
use deepstay_plant::{Order, SteelOrder};
use deepstay_scenario::Scenario;
use std::sync::Arc;

const DAY_S: i64 = 86_400;

fn job_of(name: &str) -> Arc<Scenario> {
    Arc::new(deepstay_scenario::load(name).unwrap_or_else(|bad| panic!("{name}: {bad}")))
}

fn begun(scenario: &Arc<Scenario>, to_s: i64) -> Job {
    let mut job = Job::new(scenario.clone(), Options::default());
    assert_eq!(job.advance_to(to_s, &mut NoRecord), Halt::Reached);
    job
}

/// To the end of the job, with everything that happens on the way and at its close.
fn rest(mut job: Job) -> (Vec<Entry>, u64) {
    let mut entries = Vec::new();
    let Halt::Ended(_) = job.advance_to(i64::MAX, &mut entries) else {
        panic!("every job ends")
    };
    let job = job.finish(&mut entries);
    (entries, job.state_hash())
}

fn why(bytes: &[u8], scenario: &Arc<Scenario>) -> RestoreError {
    match Job::restore(bytes, scenario.clone()) {
        Ok(_) => panic!("it was taken up"),
        Err(why) => why,
    }
}

#[test]
fn saved_at_any_second_it_goes_on_as_if_it_never_was() {
    for name in ["short", "bad-night"] {
        let scenario = job_of(name);
        let mut draw = Streams::new(7).named("seconds to save at", 0);
        let mut whole = Job::new(scenario.clone(), Options::default());
        let mut seconds: Vec<i64> = (0..9)
            .map(|_| draw.below(4 * DAY_S as u64) as i64)
            .collect();
        // In the middle of the leak and the fan stop, too, with what they set off under way.
        seconds.extend(scenario.faults.iter().take(2).map(|f| f.at + 61));
        seconds.sort_unstable();
        let mut saves = Vec::new();
        let mut entries = Vec::new();
        for at in seconds {
            let _ = whole.advance_to(at, &mut entries);
            saves.push((at, entries.len(), whole.state_hash(), whole.save()));
        }
        let (more, hash) = rest(whole);
        entries.extend(more);
        for (at, so_far, then, bytes) in saves {
            let again = Job::restore(&bytes, scenario.clone()).expect("it was just saved");
            assert_eq!(again.state_hash(), then, "{name} at {at}");
            assert_eq!(again.save(), bytes, "{name} at {at}");
            let (later, end) = rest(again);
            let first = later.iter().zip(&entries[so_far..]).find(|(a, b)| a != b);
            assert_eq!(first, None, "{name} saved at {at}");
            assert_eq!(later.len(), entries.len() - so_far, "{name} saved at {at}");
            assert_eq!(end, hash, "{name} saved at {at}");
        }
    }
}

#[test]
fn orders_that_wait_are_saved() {
    let scenario = job_of("short");
    let mut job = begun(&scenario, DAY_S);
    let living = CompartmentId(0);
    let order = Order::Steel(SteelOrder::ChangeCanister {
        compartment: living,
    });
    job.order(Station::Student, order);
    let again = Job::restore(&job.save(), scenario).expect("it was just saved");
    assert_eq!(again.state_hash(), job.state_hash());
    let changed = |mut job: Job| {
        let mut entries: Vec<Entry> = Vec::new();
        let _ = job.advance_to(DAY_S + 1, &mut entries);
        let is = |e: &Entry| matches!(e.what, What::Canister { compartment, .. } if compartment == living);
        entries.into_iter().filter(is).collect::<Vec<Entry>>()
    };
    let there = changed(again);
    assert_eq!(there.len(), 1);
    assert_eq!(there, changed(job));
}

/// Bands are entries: those of a job that was put aside and taken up again, before and after, are those of the job
/// that was not, closed ones included.
#[test]
fn bands_of_limits_go_on_over_a_save() {
    let scenario = job_of("short");
    let bands = |entries: &[Entry]| {
        let mut bands = Bands::default();
        entries.iter().for_each(|e| bands.take(*e));
        bands.list().to_vec()
    };
    let end = 4 * DAY_S;
    let mut whole: Vec<Entry> = Vec::new();
    let _ = Job::new(scenario.clone(), Options::default()).advance_to(end, &mut whole);
    let mut parts: Vec<Entry> = Vec::new();
    let mut job = Job::new(scenario.clone(), Options::default());
    let _ = job.advance_to(2 * DAY_S, &mut parts);
    let closed = bands(&parts).iter().filter(|b| b.to_s.is_some()).count();
    let mut again = Job::restore(&job.save(), scenario).expect("it was just saved");
    let _ = again.advance_to(end, &mut parts);
    assert!(closed > 10, "{closed} closed before the save");
    assert_eq!(bands(&parts), bands(&whole));
}

#[test]
fn a_save_holds_state_and_no_history() {
    let scenario = job_of("short");
    let sizes = [1, 2, 3].map(|day| begun(&scenario, day * DAY_S).save().len());
    println!("bytes of a save after a day, two and three: {sizes:?}");
    assert!(sizes[2] < sizes[0] + sizes[0] / 20, "{sizes:?}");
}

#[test]
fn a_save_with_any_bit_flipped_is_refused() {
    let scenario = job_of("short");
    let good = begun(&scenario, 40_000).save();
    assert!(Job::restore(&good, scenario.clone()).is_ok());
    let bits = good.len() * 8;
    let mut draw = Streams::new(3).named("bits to flip", 0);
    // Every bit of the head and of the digest, and of what is between them as chance has it.
    let ends = (0..60 * 8).chain(bits - 8 * 8..bits);
    let between = (0..600).map(|_| draw.below(bits as u64) as usize);
    for bit in ends.chain(between) {
        let mut bad = good.clone();
        bad[bit / 8] ^= 1 << (bit % 8);
        let why = why(&bad, &scenario);
        let kind = bit < 8 * b"deepstay saved job ".len();
        let expected = if kind {
            RestoreError::NotASave
        } else {
            RestoreError::Damaged
        };
        assert_eq!(why, expected, "bit {bit}");
    }
}

#[test]
fn a_save_cut_short_or_added_to_is_refused() {
    let scenario = job_of("short");
    let good = begun(&scenario, 40_000).save();
    for length in [0, 5, 19, 21, 30, good.len() / 2, good.len() - 1] {
        let _ = why(&good[..length], &scenario);
    }
    let mut longer = good;
    longer.push(0);
    assert_eq!(why(&longer, &scenario), RestoreError::Damaged);
    assert_eq!(why(b"(format: 1)", &scenario), RestoreError::NotASave);
}

#[test]
fn a_save_of_another_scenario_is_refused_whatever_its_name() {
    let scenario = job_of("short");
    let good = begun(&scenario, 40_000).save();
    let given = |change: &dyn Fn(&mut Scenario)| {
        let mut other = (*scenario).clone();
        change(&mut other);
        why(&good, &Arc::new(other))
    };
    assert!(matches!(
        given(&|s| s.name = "long".into()),
        RestoreError::OtherScenario { saved, given } if saved == "short" && given == "long"
    ));
    let changes: [&dyn Fn(&mut Scenario); 6] = [
        &|s| s.seed += 1,
        &|s| s.crew[0].mass_kg += 1e-9,
        &|s| s.steel.compartments[1].volume_m3 *= 1.0 + 1e-15,
        &|s| s.plan.bell_runs.truncate(1),
        &|s| s.rules = Arc::new(deepstay_rules::builtin("us-navy").expect("a built-in set")),
        &|s| s.accepted.push("a row".into()),
    ];
    for (i, change) in changes.into_iter().enumerate() {
        let why = given(change);
        let changed = matches!(&why, RestoreError::ChangedScenario { name, .. } if name == "short");
        assert!(changed, "change {i}: {why}");
    }
}

#[test]
fn a_save_of_another_version_is_refused() {
    let scenario = job_of("short");
    let good = begun(&scenario, 40_000).save();
    let version = env!("CARGO_PKG_VERSION").as_bytes();
    let at = good
        .windows(version.len())
        .position(|w| w == version)
        .expect("a save names its version");
    let mut other = good[..good.len() - 8].to_vec();
    other[at] = b'9';
    other.extend(Digest::of(&other).to_le_bytes());
    let words = why(&other, &scenario).to_string();
    assert!(
        words.contains("by version 9") && words.contains("this is version"),
        "{words}"
    );
}

#[test]
fn the_state_is_the_same_leaping_or_not_polled_or_not_and_on_any_thread() {
    let scenario = job_of("short");
    let looked = Options::default().leap(false);
    let to_s = 2 * DAY_S + 1234;
    let hash = |options: Options, every_s: i64| {
        let mut job = Job::new(scenario.clone(), options);
        while job.now() < to_s {
            let _ = job.advance_to((job.now() + every_s).min(to_s), &mut NoRecord);
        }
        job.state_hash()
    };
    let once = hash(Options::default(), to_s);
    assert_eq!(hash(looked, to_s), once);
    assert_eq!(hash(Options::default(), 97), once);
    let threads: Vec<u64> = std::thread::scope(|scope| {
        let each: Vec<_> = (0..4)
            .map(|_| scope.spawn(|| hash(Options::default(), to_s)))
            .collect();
        each.into_iter()
            .map(|t| t.join().expect("it runs"))
            .collect()
    });
    assert_eq!(threads, [once; 4]);
}

#[test]
fn another_second_another_order_or_another_seed_is_another_state() {
    let scenario = job_of("short");
    let job = begun(&scenario, 40_000);
    let mut later = job.clone();
    let _ = later.advance_to(40_001, &mut NoRecord);
    let mut told = job.clone();
    told.order(
        Station::Student,
        Order::Steel(SteelOrder::Analyse { bank: BankId(0) }),
    );
    let mut other = (*scenario).clone();
    other.seed += 1;
    let other = begun(&Arc::new(other), 40_000);
    let hashes = [&job, &later, &told, &other].map(Job::state_hash);
    for (i, a) in hashes.iter().enumerate() {
        assert!(!hashes[..i].contains(a), "{i}: {hashes:x?}");
    }
}
