//! Speed of whole jobs and of the steps they are made of. Run with `cargo bench -p deepstay`; compare
//! figures of one run only, machines are noisy.

use deepstay::gas::{Amounts, state};
use deepstay::job::{Finished, Job, Options};
use deepstay::record::{NoRecord, Recorder};
use deepstay::report::{self, JobPapers, Summary, Units};
use deepstay::scenario::{self, Scenario};
use std::sync::Arc;

fn main() {
    divan::main();
}

fn six_man() -> Arc<Scenario> {
    Arc::new(scenario::load("six-man").expect("the built-in job loads"))
}

fn whole(scenario: &Arc<Scenario>, leap: bool) -> (Finished, Recorder) {
    let mut record = Recorder::new(scenario.start_second_of_day);
    let mut job = Job::new(scenario.clone(), Options::default().leap(leap));
    let _ = job.advance_to(i64::MAX, &mut record);
    let job = job.finish(&mut record);
    (job, record)
}

fn page(job: &Finished, record: &Recorder) -> (String, usize) {
    let papers = JobPapers::of(job, record, "");
    let inputs = papers.inputs(record, Units::Metric);
    let summary = Summary::of(&inputs);
    let html = report::html(&inputs, &summary);
    (
        html,
        report::log_csv(&inputs).expect("the log is written").len(),
    )
}

/// Thirty days with full log, and the report.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn six_man_30_days_log_and_report(bench: divan::Bencher) {
    let scenario = six_man();
    bench.bench_local(|| {
        let (job, record) = whole(&scenario, true);
        page(&job, &record)
    });
}

/// The same looking at every second.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn six_man_30_days_no_leap(bench: divan::Bencher) {
    let scenario = six_man();
    bench.bench_local(|| {
        let (job, record) = whole(&scenario, false);
        page(&job, &record)
    });
}

/// One replicate of an ensemble: no log.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn six_man_30_days_no_log(bench: divan::Bencher) {
    let scenario = six_man();
    bench.bench_local(|| {
        let mut job = Job::new(scenario.clone(), Options::default());
        let _ = job.advance_to(i64::MAX, &mut NoRecord);
        job
    });
}

/// A drill's step: one second of plant time at storage, from a job in its third day.
#[divan::bench(sample_count = 20, sample_size = 5)]
fn drill_step_of_one_second(bench: divan::Bencher) {
    let scenario = six_man();
    let mut job = Job::new(scenario, Options::default());
    let _ = job.advance_to(3 * 86_400, &mut NoRecord);
    bench.bench_local(|| {
        let to = job.now() + 1;
        let _ = job.advance_to(to, &mut NoRecord);
    });
}

/// Reading a job's file and its parts.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn load_six_man() -> Scenario {
    scenario::load("six-man").expect("the built-in job loads")
}

/// Pressure of real gas.
#[divan::bench]
fn pressure_of_real_gas(bench: divan::Bencher) {
    let n = Amounts([9000.0, 400.0, 600.0, 4.0, 20.0, 0.0]);
    bench.bench_local(|| state::pressure_pa(divan::black_box(&n), 20.0, 302.0));
}
