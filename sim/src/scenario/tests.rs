//! Built-in jobs load, and each kind of fault is complained of at its place with a suggestion.

use super::*;

#[test]
fn every_built_in_job_loads() {
    for job in JOBS {
        let scenario = load(job.name).unwrap_or_else(|bad| panic!("{}:\n{bad}", job.name));
        assert_eq!(scenario.name, job.name);
    }
}
