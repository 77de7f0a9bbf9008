//! Which rule figures a job rests on, and which limits were in force when, for its report.

use super::inputs::LimitBand;
use super::tables_used::tables_used;
use crate::provenance::ProvenanceRow;
use deepstay_job::Job;
use deepstay_scenario::{Scenario, SideDo};
use std::collections::BTreeSet;

/// Steps in which the depths that a side passes are asked for, msw: climate and limits go by depth.
const PASSED_EVERY_MSW: f64 = 0.5;

/// Every row of the rule set that the job's questions were answered from, in the set's own order.
pub fn provenance(scenario: &Scenario) -> Vec<ProvenanceRow> {
    let used = rows_used(scenario);
    let rules = &scenario.rules;
    let mut rows = rules.provenance();
    let house = rules.with_depth_limits().provenance();
    let own: BTreeSet<String> = rows.iter().map(|row| row.id.clone()).collect();
    let depths = depth_rows(scenario);
    rows.extend(
        house
            .into_iter()
            .filter(|row| depths.contains(&row.id) && !own.contains(&row.id)),
    );
    rows.into_iter()
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

/// Rows of the limits of depth, which may be those of the house.
fn depth_rows(scenario: &Scenario) -> BTreeSet<String> {
    use deepstay_core::record::Phase;
    [Phase::Compression, Phase::Storage, Phase::Decompression]
        .into_iter()
        .flat_map(|phase| {
            scenario
                .rules
                .depth_limits(phase, 0.0, 0.0, &scenario.accepted)
        })
        .map(|l| l.id)
        .collect()
}

fn rows_used(scenario: &Scenario) -> BTreeSet<String> {
    use deepstay_core::record::Phase;
    let (rules, accepted) = (&scenario.rules, &scenario.accepted[..]);
    let mut used = depth_rows(scenario);
    for step in tables_used(scenario) {
        used.extend(step.rows);
        used.extend(
            rules
                .limits(Phase::Storage, step.to_msw, accepted)
                .into_iter()
                .map(|l| l.id),
        );
    }
    for side in &scenario.plan.sides {
        let deepest = side
            .steps
            .iter()
            .fold(0.0_f64, |deepest, step| match step.what {
                SideDo::Press(to) | SideDo::ChangeStorage(to) => deepest.max(to),
                SideDo::Decompress | SideDo::Abort => deepest,
            });
        let steps = (deepest / PASSED_EVERY_MSW).ceil() as u32;
        for passed in (0..=steps).map(|k| (f64::from(k) * PASSED_EVERY_MSW).min(deepest)) {
            used.extend(
                rules
                    .climate(passed, accepted)
                    .into_iter()
                    .flat_map(|c| c.rows),
            );
            for phase in [Phase::Compression, Phase::Decompression] {
                used.extend(
                    rules
                        .limits(phase, passed, accepted)
                        .into_iter()
                        .map(|l| l.id),
                );
            }
        }
    }
    for run in &scenario.plan.bell_runs {
        used.extend(
            rules
                .working_time(run.depth_msw, accepted)
                .into_iter()
                .flat_map(|w| w.rows),
        );
    }
    used.extend(rules.storage_oxygen(accepted).into_iter().map(|r| r.id));
    used.extend(rules.absorbent_change(accepted).into_iter().map(|r| r.id));
    used.extend(rules.hygiene(accepted).into_iter().map(|r| r.id));
    used.extend(
        rules
            .calibration_every_s(accepted)
            .into_iter()
            .map(|r| r.id),
    );
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
