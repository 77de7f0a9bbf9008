//! Which rule figures a job rests on, and which limits were in force when, for its report.

use crate::job::Job;
use crate::report::{LimitBand, ProvenanceRow};
use crate::scenario::{Scenario, SideDo};
use std::collections::BTreeSet;

/// Steps in which the depths that a side passes are asked for, msw: climate and limits go by depth.
const PASSED_EVERY_MSW: f64 = 0.5;

/// Every row of the rule set that the job's questions were answered from, in the set's own order.
pub fn provenance(scenario: &Scenario) -> Vec<ProvenanceRow> {
    let used = rows_used(scenario);
    scenario
        .rules
        .provenance()
        .into_iter()
        .filter(|row| used.contains(&row.id))
        .map(|row| ProvenanceRow {
            id: row.id,
            what: row.what,
            figures: row.figures,
            document: row.source.document,
            status: row.source.status,
        })
        .collect()
}

fn rows_used(scenario: &Scenario) -> BTreeSet<String> {
    use crate::record::Phase;
    let (rules, accepted) = (&scenario.rules, &scenario.accepted[..]);
    let mut used = BTreeSet::new();
    for side in &scenario.plan.sides {
        let (mut depth, mut deepest) = (0.0_f64, 0.0_f64);
        for step in &side.steps {
            let clock = (scenario.start_second_of_day + step.at).rem_euclid(86_400);
            match step.what {
                SideDo::Press(to) | SideDo::ChangeStorage(to) if to > depth => {
                    used.extend(rules.press(depth, to, accepted).into_iter().flat_map(|p| p.rows));
                    depth = to;
                }
                SideDo::Press(to) | SideDo::ChangeStorage(to) => {
                    let up = rules.change_storage(depth, to, clock, accepted);
                    if let Ok(crate::rules::StorageChange::Bleed(plan)) = up {
                        used.extend(plan.rows);
                    }
                    depth = to;
                }
                SideDo::Decompress => {
                    used.extend(rules.decompression(depth, clock, accepted).into_iter().flat_map(|p| p.rows));
                }
                SideDo::Abort => {
                    let up = rules.emergency_decompression(depth, clock, accepted);
                    used.extend(up.into_iter().flat_map(|p| p.rows));
                }
            }
            deepest = deepest.max(depth);
            used.extend(rules.limits(Phase::Storage, depth, accepted).into_iter().map(|l| l.id));
        }
        let steps = (deepest / PASSED_EVERY_MSW).ceil() as u32;
        for passed in (0..=steps).map(|k| (f64::from(k) * PASSED_EVERY_MSW).min(deepest)) {
            used.extend(rules.climate(passed, accepted).into_iter().flat_map(|c| c.rows));
            for phase in [Phase::Compression, Phase::Decompression] {
                used.extend(rules.limits(phase, passed, accepted).into_iter().map(|l| l.id));
            }
        }
    }
    for run in &scenario.plan.bell_runs {
        used.extend(rules.working_time(run.depth_msw, accepted).into_iter().flat_map(|w| w.rows));
    }
    used.extend(rules.storage_oxygen(accepted).into_iter().map(|r| r.id));
    used.extend(rules.absorbent_change(accepted).into_iter().map(|r| r.id));
    used.extend(rules.hygiene(accepted).into_iter().map(|r| r.id));
    used.extend(rules.calibration_every_s(accepted).into_iter().map(|r| r.id));
    used
}

/// The limits that were in force, each until another took its place or the end.
pub fn limit_bands(job: &Job) -> Vec<LimitBand> {
    job.limits_in_force()
        .iter()
        .map(|l| LimitBand {
            compartment: l.compartment,
            quantity: l.limit.quantity,
            side: l.limit.side,
            value: l.limit.value,
            from_s: l.from_s,
            to_s: l.to_s.unwrap_or(job.now()),
            label: l.limit.label.clone(),
            source: format!("{} ({})", l.limit.source.document, l.limit.source.status),
        })
        .collect()
}
