//! The rotas of the built-in jobs: legal, and 5 % or less from the proven bound; and a job that runs its
//! own rota, so that hours in the log are those that were planned.

use deepstay_core::record::Recorder;
use deepstay_job::{Ended, Halt, Job, Options};
use deepstay_plant::Activity;
use deepstay_rota::{Made, Problem, ask, ask_under, bell_runs, check, make, plan_text};
use deepstay_rules::builtin;
use deepstay_scenario::{self as scenario, Scenario};
use std::sync::Arc;

fn made(scenario: &Scenario) -> (Problem, Made) {
    let asked = ask(scenario).expect("the set answers");
    assert!(asked.notes.is_empty(), "{:?}", asked.notes);
    let (rules, accepted) = (&scenario.rules, &scenario.accepted);
    let made = make(&asked.problem, rules, accepted, &mut |_| true)
        .unwrap_or_else(|no| panic!("{}: {no:#?}", scenario.name));
    assert!(check(&made.solution.rota, &asked.problem, rules, accepted).legal());
    (asked.problem, made)
}

#[test]
fn built_in_jobs_are_near_their_bound() {
    for job in scenario::JOBS {
        let scenario = scenario::load(job.name).expect("a built-in job");
        let (problem, made) = made(&scenario);
        let worth = made.solution.worth;
        let gap = worth.gap(problem.first_s);
        println!(
            "{:<12} {} turns, {:.1} h of {:.1} h, done on day {:.2}, not before {:.2}, gap {:.2} %",
            job.name,
            made.solution.rota.runs.len(),
            worth.useful_s as f64 / 3600.0,
            worth.bound_s as f64 / 3600.0,
            worth.done_s.map_or(f64::NAN, |s| s as f64 / 86_400.0),
            worth.earliest_s.map_or(f64::NAN, |s| s as f64 / 86_400.0),
            100.0 * gap
        );
        assert!(worth.useful_s <= worth.bound_s);
        assert!(gap <= 0.05, "{}: {gap}", job.name);
    }
}

/// The same crew under the working time of another country.
#[test]
fn built_in_jobs_under_other_sets() {
    for job in ["six-man", "nine-man", "twelve-man", "relief"] {
        let scenario = scenario::load(job).expect("a built-in job");
        for set in [
            "uk",
            "norway",
            "france",
            "brazil-2025",
            "canada",
            "canada-nl",
        ] {
            let rules = builtin(set).expect("built in");
            let asked = ask_under(&scenario, &rules, &[]).expect("the job's own set answers");
            match make(&asked.problem, &rules, &[], &mut |_| true) {
                Ok(made) => println!(
                    "{job} under {set}: {} turns, {:.1} h, gap {:.2} % {:?}",
                    made.solution.rota.runs.len(),
                    made.solution.worth.useful_s as f64 / 3600.0,
                    100.0 * made.solution.worth.gap(asked.problem.first_s),
                    asked.notes
                ),
                Err(no) => panic!("{job} under {set}: {no:#?}"),
            }
        }
    }
}

/// The short job runs the rota that was made for it: every turn is run, and each diver's hours in the water
/// are those of the rota.
#[test]
fn a_job_runs_its_rota() {
    let mut scenario = scenario::load("short").expect("a built-in job");
    scenario.site.weather = scenario::Weather::Calm;
    let (problem, made) = made(&scenario);
    scenario.plan.bell_runs = bell_runs(&made.solution.rota, &problem, Activity::WaterModerate);
    let end_s = scenario.plan.end_s;
    let scenario = Arc::new(scenario);
    let mut job = Job::new(scenario.clone(), Options::default());
    let mut record = Recorder::new(scenario.start_second_of_day);
    let halt = job.advance_to(end_s, &mut record);
    assert_eq!(halt, Halt::Ended(Ended::Surfaced));
    let job = job.finish(&mut record);
    let rows = record.divers.rows(job.now());
    for (sums, row) in made.solution.divers.iter().zip(rows) {
        println!("{sums:?}\n  {row:?}");
        assert_eq!(sums.runs, row.bell_runs);
        let off_s = (sums.water_s - row.water_s).abs();
        assert!(off_s <= 120 * i64::from(sums.runs), "{off_s} s");
        assert!(row.longest_bell_s <= 8 * 3600);
    }
}

/// The file of a rota, named in the plan, is read back as the same bell runs.
#[test]
fn a_rota_as_a_file_of_a_plan() {
    let scenario = scenario::load("short").expect("a built-in job");
    let (problem, made) = made(&scenario);
    let runs = bell_runs(&made.solution.rota, &problem, Activity::WaterModerate);
    let rota = &made.solution.rota;
    let text = plan_text(rota, &problem, Activity::WaterModerate, "2031-08-04 06:00");
    let job = scenario::JOBS
        .iter()
        .find(|b| b.name == "short")
        .expect("built in")
        .text;
    assert!(job.contains("start: \"2031-08-04 06:00\""));
    let from = job.find("rota: [(").expect("the plan's rota");
    let to = from + job[from..].find(")],").expect("its end") + 3;
    let changed = format!("{}bell_runs: \"runs.ron\",{}", &job[..from], &job[to..]);
    let folder = std::env::temp_dir().join(format!("deepstay-rota-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    std::fs::write(folder.join("runs.ron"), text).expect("written");
    let again = scenario::from_text(&changed, "short.ron", Some(&folder))
        .unwrap_or_else(|bad| panic!("{bad}"));
    std::fs::remove_dir_all(&folder).expect("taken away");
    assert_eq!(again.plan.bell_runs, runs);
}
