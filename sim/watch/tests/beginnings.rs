//! Each named beginning is brought to its hour, and what it says is going on there is looked for.

use deepstay_core::record::{NoRecord, Phase, Station, Whereabouts};
use deepstay_core::units::*;
use deepstay_job::{Halt, Indicated, Job, Options};
use deepstay_scenario::Scenario;
use deepstay_watch::{Beginning, Shows};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

#[test]
fn twenty_hours_show_what_they_say() {
    let all = Beginning::built_in();
    assert_eq!(all.len(), 20);
    let names: BTreeSet<&str> = all.iter().map(|b| b.name.as_str()).collect();
    assert_eq!(names.len(), 20);
    let shown: BTreeSet<Shows> = all.iter().map(|b| b.shows).collect();
    assert_eq!(shown.len(), 10, "every phase has its beginning");
    assert!(all.iter().filter(|b| b.shows == Shows::BadHour).count() >= 4);
    let mut by_job: BTreeMap<&str, Vec<&Beginning>> = BTreeMap::new();
    for beginning in all {
        by_job.entry(&beginning.job).or_default().push(beginning);
    }
    for (name, mut list) in by_job {
        let scenario = deepstay_scenario::load(name).unwrap_or_else(|bad| panic!("{bad}"));
        let scenario = Arc::new(scenario);
        let at_s = |b: &Beginning| scenario.time().read(&b.at).expect("a time").at_s;
        list.sort_by_key(|b| at_s(b));
        let mut job = Job::new(Arc::clone(&scenario), Options::default());
        for beginning in list {
            assert!(matches!(
                beginning.station,
                Station::Saturation | Station::Dive
            ));
            let halt = job.advance_to(at_s(beginning), &mut NoRecord);
            assert_eq!(halt, Halt::Reached, "{}", beginning.name);
            looks_right(beginning, &scenario, &job);
        }
    }
}

fn looks_right(beginning: &Beginning, scenario: &Scenario, job: &Job) {
    let seen = job.indicated();
    let phases: Vec<Phase> = seen.vessels.iter().map(|v| v.phase).collect();
    let bell = |is: &dyn Fn(f64) -> bool| {
        seen.vessels
            .iter()
            .any(|v| v.winch_msw.is_some_and(|(_, wire)| is(wire)))
    };
    let mated = (0u8..)
        .map(DoorId)
        .zip(&scenario.steel.doors)
        .filter(|(_, d)| d.clamp)
        .all(|(id, _)| seen.doors[id.index()].clamped);
    let right = match beginning.shows {
        Shows::Surface => {
            let in_chambers = |d: &deepstay_job::DiverHeard| matches!(d.at, Whereabouts::In(_));
            phases.iter().all(|p| *p == Phase::Surface) && seen.divers.iter().all(in_chambers)
        }
        Shows::Compression => phases.contains(&Phase::Compression),
        Shows::Storage => phases.contains(&Phase::Storage),
        Shows::BellAway => !mated && bell(&|wire| wire > 10.0),
        Shows::BellMating => !mated && bell(&|wire| wire == 0.0),
        Shows::CrewChange => soon(job, 1800, |later| {
            let living = |at: Whereabouts| match at {
                Whereabouts::In(c) => {
                    scenario.steel.compartments[c.index()].kind == CompartmentKind::Living
                }
                _ => false,
            };
            let pairs = seen.divers.iter().zip(&later.divers);
            pairs
                .filter(|(a, b)| living(a.at) && living(b.at) && a.at != b.at)
                .count()
                >= 2
        }),
        Shows::StorageChange => soon(job, 1800, |later| {
            later.vessels.iter().any(|v| v.phase == Phase::Compression)
        }),
        Shows::Decompression => phases.contains(&Phase::Decompression),
        Shows::Surfacing => seen.vessels.iter().enumerate().any(|(i, v)| {
            let depth = seen.depth_msw(CompartmentId(i as u8)).unwrap_or(99.0);
            v.phase == Phase::Decompression && depth < 6.0
        }),
        Shows::BadHour => {
            let now = job.now();
            let on = |f: &deepstay_scenario::Fault| {
                f.at <= now && f.until.is_none_or(|until| until > now)
            };
            scenario.faults.iter().any(on)
        }
    };
    assert!(right, "{}: {phases:?}", beginning.name);
}

/// Whether something is seen within a time, the job going on apart.
fn soon(job: &Job, within_s: i64, is: impl Fn(&Indicated) -> bool) -> bool {
    let mut later = job.clone();
    let last_s = job.now() + within_s;
    while later.now() < last_s {
        let next_s = later.now() + 60;
        let _ = later.advance_to(next_s, &mut NoRecord);
        if is(&later.indicated()) {
            return true;
        }
    }
    false
}
