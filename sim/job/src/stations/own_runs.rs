//! Each diver's own bell runs as his day knows them.

use deepstay_core::units::DiverId;
use deepstay_crew::OwnRun;
use deepstay_scenario::{BellRun, Scenario};

/// Length of a bell run for the diver's day, beside his hours in the water, s: checks to his coming
/// back (common practice, no source).
const AROUND_WATER_S: i64 = 3 * 3600;

/// Each diver's own runs as his day knows them.
pub fn own_runs(scenario: &Scenario) -> Vec<Vec<OwnRun>> {
    let divers = 0u8..;
    divers
        .zip(&scenario.crew)
        .map(|(i, _)| {
            let his = |r: &&BellRun| r.divers.contains(&DiverId(i));
            let turns = |r: &BellRun| if r.divers.len() == 2 { 2 } else { 1 };
            let mut runs: Vec<OwnRun> = scenario
                .plan
                .bell_runs
                .iter()
                .filter(his)
                .map(|r| OwnRun {
                    from_s: r.at,
                    to_s: r.at + turns(r) * r.in_water_s + AROUND_WATER_S,
                })
                .collect();
            runs.sort_by_key(|r| r.from_s);
            runs
        })
        .collect()
}
