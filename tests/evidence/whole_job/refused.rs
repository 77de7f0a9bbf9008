//! Orders that the steel refuses: the stations look before they ask, so that a built-in job has none.

use super::{built_in, run};
use deepstay::job::Options;
use deepstay::plant::{Order, SteelOrder};
use deepstay::record::What;

/// Orders refused in a job, each with its second and what was asked of doors and clamps in it.
fn refused(name: &str) -> Vec<String> {
    let scenario = built_in(name);
    let doors: Vec<String> = scenario
        .steel
        .doors
        .iter()
        .map(|d| d.name.clone())
        .collect();
    let ran = run(scenario, Options::default(), &[]);
    let asked_at = |at: i64| -> Vec<String> {
        let journal = ran.job.journal();
        let first = journal.partition_point(|(t, _)| *t < at);
        let asked = journal[first..].iter().take_while(|(t, _)| *t == at);
        asked
            .filter_map(|(_, order)| match order {
                Order::Steel(SteelOrder::Door { door, open: true }) => {
                    Some(format!("open {}", doors[door.index()]))
                }
                Order::Steel(SteelOrder::Clamp { door, made }) => {
                    Some(format!("clamp {} {made}", doors[door.index()]))
                }
                _ => None,
            })
            .collect()
    };
    let refusals = ran.entries.iter().filter_map(|e| match e.what {
        What::Refused { station, why } => Some(format!(
            "second {}: {station:?} {why:?} {:?}",
            e.at,
            asked_at(e.at)
        )),
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
