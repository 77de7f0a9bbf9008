//! Speed of a stock study: how its cost grows with jobs, divers and days, how well two threads share it, and
//! what the answer costs beside the jobs. Run with `cargo bench -p deepstay --bench stock`; compare figures of
//! one run only, machines are noisy. A job takes seconds, so that the jobs of a large study are shown by a
//! few, and the answer by as many as are asked for.

use deepstay::scenario::{JobTexts, Patch, To};
use deepstay::stock::{Ensemble, Floors, Replicate, answer, on_threads};

fn main() {
    divan::main();
}

fn set(way: &str, to: &str) -> Patch {
    Patch {
        path: way.into(),
        to: To::Text(to.into()),
    }
}

fn ensemble(job: &str, changes: Vec<Patch>) -> Ensemble {
    let papers = JobTexts::open(job, None).expect("built in");
    Ensemble::new(papers, changes, None, 1.0).unwrap_or_else(|bad| panic!("{:?}", bad.all))
}

fn run(ensemble: &Ensemble, jobs: u64, threads: usize) -> Vec<Replicate> {
    let made = on_threads(Some(threads), || ensemble.run(0..jobs, &|| false, &|| {}));
    let (made, failed) = made.expect("threads");
    assert!(failed.is_empty(), "{failed:?}");
    made
}

/// A week for six men, by the number of jobs, on two threads.
#[divan::bench(args = [2, 4, 8], sample_count = 1, sample_size = 1)]
fn jobs(bench: divan::Bencher, jobs: u64) {
    let ensemble = ensemble("short", vec![]);
    bench.bench_local(|| run(&ensemble, jobs, 2));
}

/// Eight weeks of six men on one thread and on two: twice the first over the second is the efficiency.
#[divan::bench(args = [1, 2], sample_count = 1, sample_size = 1)]
fn eight_jobs_by_threads(bench: divan::Bencher, threads: usize) {
    let ensemble = ensemble("short", vec![]);
    bench.bench_local(|| run(&ensemble, 8, threads));
}

/// One job of six men, by its days.
#[divan::bench(args = [15, 30, 60], sample_count = 1, sample_size = 1)]
fn one_job_by_days(bench: divan::Bencher, days: u32) {
    let ensemble = ensemble(
        "six-man",
        vec![
            set("plan.rota[0].last", &format!("{} d", days - 6)),
            set("plan.levels[0].steps[1].at", &format!("{} d", days - 5)),
            set("plan.end", &format!("{} d", days + 3)),
        ],
    );
    bench.bench_local(|| ensemble.base_job(&|| false));
}

/// One job of thirty days, by its divers: those beyond six live in a larger chamber and do not dive.
#[divan::bench(args = [6, 12, 24], sample_count = 1, sample_size = 1)]
fn one_job_by_divers(bench: divan::Bencher, divers: u8) {
    let letter = |n: u8| char::from(b'A' + n);
    let man = |n: u8| {
        let team = if n < 6 { n / 2 + 1 } else { 9 };
        let initials = [letter(n), letter((n + 1) % 26)].iter().collect::<String>();
        format!(
            "(initials: \"{initials}\", chamber: \"Living\", team: {team}, qualifications: [\"burning\", \"2F wet\"])"
        )
    };
    let crew: Vec<String> = (0..divers).map(man).collect();
    let ensemble = ensemble(
        "six-man",
        vec![
            set("crew.divers", &format!("[{}]", crew.join(", "))),
            set("spread.compartments[Living].bunks", "24"),
            set("spread.compartments[Living].places", "24"),
            set("spread.compartments[Living].volume", "96 m3"),
            set("spread.compartments[Living].scrubber.flow", "4.8 m3/min"),
            set("spread.compartments[Living].scrubber.absorbent", "56 kg"),
        ],
    );
    bench.bench_local(|| ensemble.base_job(&|| false));
}

/// The answer of so many jobs: quantiles, chances by day, rank correlations.
#[divan::bench(args = [1_000, 10_000, 100_000], sample_count = 1, sample_size = 1)]
fn the_answer_of_jobs(bench: divan::Bencher, jobs: u64) {
    let ensemble = ensemble("short", vec![]);
    let few = run(&ensemble, 2, 2);
    let many: Vec<Replicate> = (0..jobs)
        .map(|number| {
            // As many jobs as are asked for, each a little unlike the one before.
            let mut job = few[(number % 2) as usize].clone();
            job.number = number;
            for mol in &mut job.left_mol {
                *mol *= 1.0 - 1e-9 * (number % 977) as f64;
            }
            job
        })
        .collect();
    bench.bench_local(|| answer(&ensemble, &many, (0, jobs), &Floors::default()));
}
