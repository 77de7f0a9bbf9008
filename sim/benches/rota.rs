//! Speed of the rota: thirty days for crews of each size, and a change under way. Run with
//! `cargo bench -p deepstay --bench rota`; compare figures of one run only, machines are noisy.

// The tests' own crews, so that what is timed is what is judged.
#[path = "../rota/tests/evidence/problem.rs"]
mod problem;

use deepstay::job::course::follow;
use deepstay::job::{Planner, RunStands, Standing};
use deepstay::plant::Activity;
use deepstay::rota::{Event, JobPlanner, Made, Problem, Span, ask, bell_runs, make, replan};
use deepstay::rules::{RuleSet, builtin};
use deepstay::scenario::{BellRun, Diver, Scenario, Slip};
use problem::{D, H};

fn main() {
    divan::main();
}

fn uk() -> RuleSet {
    builtin("uk").expect("built in")
}

fn made(problem: &Problem) -> Made {
    make(problem, &uk(), &[], &mut |_| true).expect("there is a legal rota")
}

/// Divers, men to a team, bells.
const CREWS: [(u8, u8, u8); 5] = [(6, 2, 1), (9, 3, 1), (12, 2, 2), (18, 3, 2), (24, 3, 2)];

fn crew(divers: u8) -> Problem {
    let (divers, team, bells) = CREWS
        .into_iter()
        .find(|(d, ..)| *d == divers)
        .expect("one of the crews");
    let p = problem::problem("uk", divers, team, bells, 150.0, 30);
    Problem {
        team_hours: true,
        kept_bells: true,
        ..p
    }
}

/// Thirty days, the same hours every day.
#[divan::bench(args = CREWS.map(|(divers, ..)| divers), sample_count = 10, sample_size = 1)]
fn thirty_days_hours_kept(bench: divan::Bencher, divers: u8) {
    let p = crew(divers);
    bench.bench_local(|| made(&p));
}

/// Thirty days, hours free.
#[divan::bench(args = CREWS.map(|(divers, ..)| divers), sample_count = 10, sample_size = 1)]
fn thirty_days_hours_free(bench: divan::Bencher, divers: u8) {
    let p = Problem {
        same_hours: false,
        team_hours: false,
        kept_bells: false,
        ..crew(divers)
    };
    bench.bench_local(|| made(&p));
}

/// A day and a half of weather on the tenth day.
#[divan::bench(args = CREWS.map(|(divers, ..)| divers), sample_count = 10, sample_size = 1)]
fn a_change_under_way(bench: divan::Bencher, divers: u8) {
    let p = crew(divers);
    let rota = made(&p).solution.rota;
    let weather = [Event::Weather(Span::new(10 * D, 10 * D + 36 * H))];
    bench.bench_local(|| replan(&rota, &p, 10 * D, &weather, &uk(), &[]).expect("a rota is left"));
}

/// A job of 27 days at 118 msw for so many divers in teams of two (nine: at 200 msw in teams of three), with the rota that
/// is made for it and work for all its days.
fn job(divers: u8) -> Scenario {
    let name = if divers == 9 { "nine-man" } else { "six-man" };
    let mut job = deepstay::scenario::load(name).expect("built in");
    let six = job.crew.clone();
    while job.crew.len() < usize::from(divers) {
        let n = job.crew.len();
        let letter = |of: usize| char::from(b'A' + (of % 26) as u8);
        job.crew.push(Diver {
            initials: format!("{}{}", letter(n), letter(n + 7)),
            team: 1 + (n / 2) as u8,
            ..six[n % six.len()].clone()
        });
    }
    for task in &mut job.work.tasks {
        task.in_water_s *= i64::from(divers) / 6;
    }
    let problem = ask(&job).expect("the set answers").problem;
    let made = make(&problem, &job.rules, &job.accepted, &mut |_| true).expect("a rota");
    job.plan.bell_runs = bell_runs(&made.solution.rota, &problem, Activity::WaterModerate);
    job.plan.slip = Slip::Replan;
    job
}

/// What a planner was told in the course of a job: the runs in force, from when it may plan, and how they stand.
struct Told {
    runs: Vec<BellRun>,
    from_s: i64,
    stands: Vec<RunStands>,
}

/// Plans as the job's planner does, and keeps what it was told.
struct Keeping {
    planner: JobPlanner,
    told: Vec<Told>,
}

impl Planner for Keeping {
    fn runs_from(&mut self, standing: &Standing<'_>) -> Option<Vec<BellRun>> {
        self.told.push(Told {
            runs: standing.scenario.plan.bell_runs.clone(),
            from_s: standing.from_s,
            stands: standing.runs.to_vec(),
        });
        self.planner.runs_from(standing)
    }
}

/// The planner's own call inside a job, after the sea has taken a run: the middle one of all calls of the job.
#[divan::bench(args = CREWS.map(|(divers, ..)| divers), sample_count = 20, sample_size = 1)]
fn planned_anew_inside_a_job(bench: divan::Bencher, divers: u8) {
    let job = job(divers);
    let planner = JobPlanner::of(&job).expect("the set answers");
    let mut keeping = Keeping {
        planner: planner.clone(),
        told: Vec::new(),
    };
    follow(&job, &[], &mut keeping);
    let middle = keeping.told.len() / 2;
    let told = keeping.told.get(middle).expect("the sea takes a run");
    let mut standing_job = job.clone();
    standing_job.plan.bell_runs.clone_from(&told.runs);
    bench
        .with_inputs(|| planner.clone())
        .bench_local_values(|mut planner| {
            let standing = Standing {
                scenario: &standing_job,
                from_s: told.from_s,
                runs: &told.stands,
            };
            planner.runs_from(&standing).expect("it plans")
        });
}
