//! Orders that the steel refuses: the stations look before they ask, so that a built-in job has none.

use super::{built_in, run};
use deepstay::job::Options;
use deepstay::record::What;

/// Orders refused in a job, each with its second.
fn refused(name: &str) -> Vec<String> {
    let ran = run(built_in(name), Options::default(), &[]);
    let refusals = ran.entries.iter().filter_map(|e| match e.what {
        What::Refused { station, why } => Some(format!("second {}: {station:?} {why:?}", e.at)),
        _ => None,
    });
    refusals.collect()
}

#[test]
fn no_order_of_the_seats_is_refused_in_a_built_in_job() {
    for job in deepstay::scenario::JOBS {
        let refused = refused(job.name);
        println!("{}: {} refused", job.name, refused.len());
        refused
            .iter()
            .take(30)
            .for_each(|line| println!("  {line}"));
        assert!(refused.is_empty(), "{}: {refused:?}", job.name);
    }
}
