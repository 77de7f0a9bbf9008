//! The built-in jobs: they load, are as long as they say, and load under no other rule set.

use super::*;

#[test]
fn every_built_in_job_loads() {
    for job in JOBS {
        let scenario = load(job.name).unwrap_or_else(|bad| panic!("{}:\n{bad}", job.name));
        assert_eq!(
            (scenario.name.as_str(), scenario.title.as_str()),
            (job.name, job.title)
        );
        assert!(
            job.text.contains("it prescribes nothing"),
            "{} carries the caution",
            job.name
        );
    }
}

#[test]
fn six_men_for_thirty_days() {
    let s = load("six-man").expect("the six-man job");
    assert_eq!((s.crew.len(), s.plan.bell_runs.len()), (6, 73));
    assert_eq!((s.start_second_of_day, s.utc_offset_s), (6 * 3600, 7200));
    // 2031-06-02 04:00 UTC, by the civil calendar.
    assert_eq!(s.start_unix_s, 1_938_139_200);
    let leave = s.plan.levels[0].steps[1].at;
    let second = (s.start_second_of_day + leave) % 86_400;
    let up = s
        .rules
        .decompression(118.0, second, &s.accepted)
        .expect("handbook bands reach");
    let days = (leave + up.total_s) as f64 / 86_400.0;
    assert!((29.5..=30.0).contains(&days), "{days} days under pressure");
    let longest = s
        .rules
        .saturation_length(118.0, &s.accepted)
        .expect("a longest stay")
        .longest_s;
    assert!(leave + up.total_s <= longest);
    let teams: Vec<Vec<u8>> = s.plan.bell_runs[..4]
        .iter()
        .map(|r| r.divers.iter().map(|d| d.0).collect())
        .collect();
    assert_eq!(teams, [[0, 1], [2, 3], [4, 5], [0, 1]]);
    let o2 = s.steel.instrument(
        deepstay_core::units::CompartmentId(0),
        deepstay_core::units::Quantity::PpO2,
        deepstay_core::units::Channel::Secondary,
    );
    assert!(o2.is_some());
    let recovered = s
        .inputs
        .iter()
        .find(|i| i.name.contains("reclaim"))
        .expect("a named input");
    for (is, wanted) in [
        (recovered.value, 0.88),
        (recovered.low, 0.80),
        (recovered.high, 0.95),
    ] {
        approx::assert_relative_eq!(is, wanted);
    }
}

#[test]
fn other_jobs_are_as_long_as_they_say() {
    for (name, days) in [("short", 7.0), ("bad-night", 7.0), ("nine-man", 28.0)] {
        let s = load(name).expect(name);
        let side = &s.plan.levels[0];
        let (LevelDo::Press(depth), leave) = (side.steps[0].what, side.steps[1].at) else {
            panic!("{name}")
        };
        let second = (s.start_second_of_day + leave) % 86_400;
        let up = s
            .rules
            .decompression(depth, second, &s.accepted)
            .expect(name)
            .total_s;
        let all = (leave + up) as f64 / 86_400.0;
        assert!((days - 0.5..=days).contains(&all), "{name}: {all}");
        assert!(leave + up < s.plan.end_s, "{name}");
    }
    assert_eq!(load("bad-night").expect("a job").faults.len(), 5);
    let twelve = load("twelve-man").expect("a job");
    assert_eq!((twelve.plan.levels.len(), twelve.plan.moves.len()), (2, 2));
    assert_eq!(
        load("nine-man").expect("a job").accepted,
        ["usn.compression.rates"]
    );
}

/// Which job loads under which rule set: the demonstration set, and the companions where the printed tables reach its
/// depth. Elsewhere the missing rows are named. Printed, as a planner reads it.
#[test]
fn matrix_of_jobs_and_rule_sets() {
    for job in JOBS {
        for set in rules::builtin_names() {
            let loaded = load_under(job.name, Some(set));
            println!(
                "{:<12}{set:<22}{}",
                job.name,
                if loaded.is_ok() { "loads" } else { "refused" }
            );
            let can = set == "demonstration" || set.ends_with("-companion");
            let too_deep = job.name == "nine-man" && set == "france-2012-companion";
            match loaded {
                Ok(_) => assert!(can && !too_deep, "{} under {set}", job.name),
                Err(bad) => {
                    assert!(!can || too_deep, "{} under {set}: {bad}", job.name);
                    for c in &bad.all {
                        let Wrong::Unanswered { rows, .. } = &c.wrong else {
                            panic!("{c:#?}")
                        };
                        assert!(!rows.is_empty());
                        assert!(c.place.path.starts_with("plan.levels"), "{c:#?}");
                    }
                }
            }
        }
    }
}
