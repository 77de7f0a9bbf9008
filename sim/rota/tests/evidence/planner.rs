//! The runs of a job planned anew while it is under way: what the sea takes is made good, and the job that is saved
//! and taken up, or made again, is the same job.

use super::problem::H;
use deepstay_core::record::{NoRecord, Recorder};
use deepstay_job::course::{Course, follow};
use deepstay_job::{Halt, Job, KeepPlan, Options, Planner, RunStands, Standing};
use deepstay_plant::Activity;
use deepstay_rota::{JobPlanner, Problem, Rota, WorkDone, ask, bell_runs, check, make, turn_of};
use deepstay_scenario::{self as scenario, BellRun, Scenario, Slip, Weather};
use std::sync::Arc;

/// A built-in job that runs the rota that was made for it: it ends when its work is done by the plan.
fn with_its_rota(name: &str) -> Scenario {
    let mut s = scenario::load(name).expect("a built-in job");
    let problem = ask(&s).expect("the set answers").problem;
    let made = make(&problem, &s.rules, &s.accepted, &mut |_| true).expect("a rota");
    s.plan.bell_runs = bell_runs(&made.solution.rota, &problem, Activity::WaterModerate);
    s
}

fn short(slip: Slip) -> Scenario {
    let mut s = with_its_rota("short");
    s.site.weather = Weather::Series(vec![(0, 1.0), (20 * H, 6.0), (30 * H, 1.0)]);
    s.plan.slip = slip;
    s
}

/// The runs that were made, as a rota.
fn made(problem: &Problem, runs: &[BellRun], stands: &[RunStands]) -> Rota {
    let turns = runs
        .iter()
        .zip(stands)
        .filter_map(|(run, stands)| match stands {
            RunStands::Home {
                from_s,
                stopped: None,
                ..
            } => turn_of(problem, run, *from_s),
            _ => None,
        });
    Rota {
        runs: turns.collect(),
    }
}

fn water_s(rota: &Rota) -> i64 {
    rota.runs.iter().map(|r| r.bottom_s()).sum()
}

/// Three weeks of two jobs in rough water: with the runs planned anew more time in the water is had than with runs
/// that are lost, the work goes on until the list is done or the days are over, and what is planned breaks no rule
/// that the plan kept.
#[test]
fn what_the_sea_takes_is_made_good() {
    for (name, seed) in [
        ("six-man", 3),
        ("six-man", 4),
        ("nine-man", 5),
        ("short", 1),
    ] {
        let planned = with_its_rota(name);
        let of = |slip| {
            let mut s = planned.clone();
            (s.seed, s.plan.slip) = (seed, slip);
            s.site.launch_limit_hs_m = if name == "short" { 1.2 } else { 2.0 };
            s
        };
        let lost = of(Slip::Skip);
        let problem = ask(&lost).expect("the set answers").problem;
        let had = |course: &Course| made(&problem, &course.runs, &course.stands);
        let skip = had(&follow(&lost, &[], &mut KeepPlan));
        let anew = of(Slip::Replan);
        let mut planner = JobPlanner::of(&anew).expect("the set answers");
        let course = follow(&anew, &[], &mut planner);
        let again = had(&course);
        let needed_s: i64 = problem
            .tasks
            .iter()
            .map(|t| t.needed_s(problem.weather_share))
            .sum();
        println!(
            "{name}, seed {seed}: {:.1} h with runs lost, {:.1} h planned anew, of {:.1} h; {} runs, {} in the plan",
            water_s(&skip) as f64 / 3600.0,
            water_s(&again) as f64 / 3600.0,
            needed_s as f64 / 3600.0,
            course.runs.len(),
            lost.plan.bell_runs.len()
        );
        assert!(
            water_s(&again) >= water_s(&skip).min(needed_s),
            "{name}, {seed}"
        );
        let broken = |rota: &Rota| check(rota, &problem, &lost.rules, &lost.accepted).breaches;
        let before: Vec<String> = broken(&skip).into_iter().map(|b| b.rule.id).collect();
        let after = broken(&again);
        let new: Vec<_> = after
            .iter()
            .filter(|b| !before.contains(&b.rule.id))
            .collect();
        assert!(new.is_empty(), "{name}, {seed}: {:?}", new.first());
        for pair in course.runs.windows(2).filter(|w| w[0].bell == w[1].bell) {
            assert!(pair[0].at <= pair[1].at, "in order of start");
        }
    }
}

/// The job lives it, and does not depend on how it is looked at: saved and taken up at every sixth hour it is the
/// same job to the last bit.
#[test]
fn a_job_that_is_planned_anew_is_saved_with_its_plan() {
    let s = Arc::new(short(Slip::Replan));
    let whole = |stop_h: Option<i64>| {
        let mut planner = JobPlanner::wanted(&s);
        assert!(planner.is_some());
        let mut job = Job::new(s.clone(), Options::default());
        let mut told = NoRecord;
        let mut at = 0;
        while job.advance_planned(at, &mut told, &mut planner) == Halt::Reached {
            if let Some(h) = stop_h {
                at += h * H;
                let bytes = job.save();
                job = Job::restore(&bytes, s.clone()).unwrap_or_else(|bad| panic!("{bad}"));
            } else {
                at = i64::MAX;
            }
        }
        (
            job.state_hash(),
            job.runs_stand().to_vec(),
            job.scenario().plan.bell_runs.clone(),
        )
    };
    let once = whole(None);
    assert_eq!(once, whole(Some(6)));
    let plan = &s.plan.bell_runs;
    assert_ne!(&once.2, plan, "planned anew");
    let home = |stands: &[RunStands]| {
        let made = |s: &&RunStands| matches!(s, RunStands::Home { stopped: None, .. });
        stands.iter().filter(made).count()
    };
    let mut lost = Job::new(Arc::new(short(Slip::Skip)), Options::default());
    let _ = lost.advance_to(i64::MAX, &mut NoRecord);
    println!(
        "{} runs made, {} with runs lost",
        home(&once.1),
        home(lost.runs_stand())
    );
    assert!(home(&once.1) >= home(lost.runs_stand()));
}

/// A planner is told what stands and from when: runs are given at their second, and none is told as ahead after one
/// that is begun or lost but those that stay.
#[test]
fn a_planner_is_told_what_stands() {
    struct Notes(Vec<(i64, usize, usize)>);
    impl Planner for Notes {
        fn runs_from(&mut self, standing: &Standing<'_>) -> Option<Vec<BellRun>> {
            let lost = standing
                .runs
                .iter()
                .filter(|r| matches!(r, RunStands::Lost { .. }));
            self.0
                .push((standing.from_s, standing.runs.len(), lost.count()));
            assert!(*standing.runs.last().expect("a run") != RunStands::Ahead);
            None
        }
    }
    for slip in [Slip::Skip, Slip::Replan] {
        let mut job = Job::new(Arc::new(short(slip)), Options::default());
        let mut notes = Notes(Vec::new());
        let _ = job.advance_planned(i64::MAX, &mut NoRecord, &mut notes);
        println!("{slip:?}: {:?}", notes.0);
        assert_eq!(notes.0.is_empty(), slip == Slip::Skip);
        assert!(
            notes
                .0
                .iter()
                .all(|(at, ..)| (20 * H..=32 * H).contains(at))
        );
    }
}

/// What came of the work list, by hand: the short job in calm water runs ten runs of two men for three hours each, six
/// hours of work a run. `Clear the valve` takes 14 h, `Change the valve` 16 h after it, `Survey` 6 h: what comes before
/// must be done before a run begins, so that 14 h take three runs (the third gives 2 h to it and 4 h to the survey), the
/// change the next three, and 2 h of survey come with its last or after. By the plan a tenth of the water is lost to
/// weather, and all takes a run or two more.
#[test]
fn what_came_of_the_work_list() {
    let mut s = scenario::load("short").expect("a built-in job");
    s.site.weather = Weather::Calm;
    let s = Arc::new(s);
    let mut job = Job::new(s.clone(), Options::default());
    let mut record = Recorder::new(s.start_second_of_day);
    while job.advance_to(i64::MAX, &mut record) == Halt::Reached {}
    let job = job.finish(&mut record);
    let work = WorkDone::of(job.scenario(), job.planned_runs(), record.bell.runs());
    for t in &work.tasks {
        println!("{t:?}");
    }
    let had = |name: &str| work.tasks.iter().find(|t| t.task == name).expect("a task");
    for (name, hours) in [
        ("Clear the valve", 14),
        ("Change the valve", 16),
        ("Survey", 6),
    ] {
        let t = had(name);
        assert_eq!((t.needed_s, t.had_s), (hours * H, hours * H), "{name}");
        let given: i64 = work
            .given
            .iter()
            .filter(|g| work.tasks[g.task].task == name)
            .map(|g| g.water_s)
            .sum();
        assert_eq!(given, hours * H, "{name}");
    }
    let runs = record.bell.runs();
    let ends = |n: usize| runs[n].done_s().expect("made");
    let within = |at: Option<i64>, n: usize| (at.expect("done") - ends(n)).abs() < H;
    assert!(within(had("Clear the valve").done_s, 2), "three runs");
    assert!(within(had("Change the valve").done_s, 5), "three more");
    assert_eq!(work.missing(), 0);
    let (done, planned) = (
        work.done_s().expect("done"),
        work.planned_s().expect("planned"),
    );
    assert!(
        done < planned,
        "the weather that was allowed for did not come: {done}, {planned}"
    );
    // With the sea over the limit for ten hours a run is lost and another broken off, and something is missing or late.
    let mut rough = (*s).clone();
    rough.site.weather = Weather::Series(vec![(0, 1.0), (20 * H, 6.0), (60 * H, 1.0)]);
    let rough = Arc::new(rough);
    let mut job = Job::new(rough, Options::default());
    let mut record = Recorder::new(s.start_second_of_day);
    while job.advance_to(i64::MAX, &mut record) == Halt::Reached {}
    let job = job.finish(&mut record);
    let work = WorkDone::of(job.scenario(), job.planned_runs(), record.bell.runs());
    assert!(work.missing() > 0 || work.done_s() > Some(done));
}
