//! A whole job on the test spread: it runs from surface to surface, leaping or not, saved or not.

use deepstay::job::{Ended, Job, Options};
use deepstay::record::{Entry, What};
use deepstay_tests::spread::six_men;
use std::sync::Arc;

#[test]
fn a_week_runs_from_surface_to_surface() {
    let mut job = Job::new(Arc::new(six_men(7, 118.0)), Options::default());
    let mut entries: Vec<Entry> = Vec::new();
    job.advance_to(12 * 86_400, &mut entries);
    job.close(&mut entries);
    for e in &entries {
        if matches!(e.what, What::BellPhase { .. } | What::BellStopped { .. } | What::Refused { .. }) {
            println!("{:>8} {:?}", e.at, e.what);
        }
    }
    assert_eq!(job.ended(), Some(Ended::Surfaced));
}
