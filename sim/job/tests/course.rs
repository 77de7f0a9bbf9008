//! The course of runs and weather without a plant, beside whole jobs: the same runs are made and lost, each for the
//! same reason and at the same hour.

use deepstay_core::record::{NoRecord, Stopped};
use deepstay_job::course::{Breakdown, follow};
use deepstay_job::{Halt, Job, KeepPlan, Options, RunStands};
use deepstay_scenario::{self as scenario, Scenario, Slip, Weather};
use std::sync::Arc;

/// A run begins within so long of when the course has it, s: the course reckons with planned lengths.
const WITHIN_S: i64 = 1200;

fn lived(scenario: &Scenario) -> Vec<RunStands> {
    let mut job = Job::new(Arc::new(scenario.clone()), Options::default());
    while job.advance_to(i64::MAX, &mut NoRecord) == Halt::Reached {}
    job.runs_stand().to_vec()
}

fn alike(scenario: &Scenario) -> (usize, usize) {
    let course = follow(scenario, &[], &mut KeepPlan);
    let job = lived(scenario);
    assert_eq!(course.runs.len(), course.stands.len());
    let (mut made, mut lost) = (0, 0);
    for (i, (here, there)) in course.stands.iter().zip(&job).enumerate() {
        match (here, there) {
            (
                RunStands::Home {
                    from_s: a,
                    stopped: c,
                    ..
                },
                RunStands::Home {
                    from_s: b,
                    stopped: d,
                    ..
                },
            ) => {
                assert_eq!(c, d, "{}: run {i}", scenario.name);
                assert!(
                    (a - b).abs() <= WITHIN_S,
                    "{}: run {i}: {a} and {b}",
                    scenario.name
                );
                made += 1;
            }
            (RunStands::Lost { why: a, .. }, RunStands::Lost { why: b, .. }) => {
                assert_eq!(a, b, "{}: run {i}", scenario.name);
                lost += 1;
            }
            _ => panic!("{}: run {i}: {here:?} and {there:?}", scenario.name),
        }
    }
    println!("{}: {made} runs made, {lost} lost", scenario.name);
    (made, lost)
}

#[test]
fn a_rough_sea_loses_and_moves_the_runs_that_it_does_in_a_job() {
    let mut counts = Vec::new();
    for slip in [Slip::Skip, Slip::Shift, Slip::Replan] {
        let mut s = scenario::load("short").expect("a built-in job");
        s.site.weather = Weather::Series(vec![(0, 1.0), (20 * 3600, 6.0), (30 * 3600, 1.0)]);
        s.plan.slip = slip;
        s.name = format!("short, {slip:?}");
        counts.push(alike(&s));
    }
    assert!(counts[0].1 > 0 && counts[2].1 > 0, "{counts:?}");
    assert!(
        counts[1].0 < counts[0].0 + counts[0].1,
        "moved later, the last do not fit: {counts:?}"
    );
}

/// The weather of the job's own seed, over three weeks, with one run after the other.
#[test]
fn the_weather_is_that_of_the_job() {
    for (name, seed) in [("six-man", 3), ("nine-man", 5)] {
        let mut s = scenario::load(name).expect("a built-in job");
        s.seed = seed;
        s.site.launch_limit_hs_m = 2.0;
        let (made, lost) = alike(&s);
        assert!(made > 10 && lost > 3, "{name}: {made} made, {lost} lost");
    }
}

/// A bell that is out of order begins no run.
#[test]
fn a_breakdown_loses_the_runs_that_are_due_in_it() {
    let mut s = scenario::load("short").expect("a built-in job");
    s.site.weather = Weather::Calm;
    let runs = s.plan.bell_runs.clone();
    let out = Breakdown {
        bell: runs[0].bell,
        from_s: runs[2].at - 600,
        to_s: runs[3].at + 600,
    };
    let course = follow(&s, &[out], &mut KeepPlan);
    for (i, stands) in course.stands.iter().enumerate() {
        let lost = matches!(
            stands,
            RunStands::Lost {
                why: Stopped::Checks,
                ..
            }
        );
        assert_eq!(lost, i == 2 || i == 3, "{i}: {stands:?}");
    }
}
