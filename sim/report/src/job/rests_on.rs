//! Which limits were in force when, for a job's report.

use super::inputs::LimitBand;
use deepstay_job::Job;

/// The limits that were in force, each until another took its place or the end.
pub fn limit_bands(job: &Job) -> Vec<LimitBand> {
    job.limits_in_force()
        .iter()
        .map(|l| LimitBand {
            compartment: l.compartment,
            quantity: l.limit.quantity,
            bound: l.limit.bound,
            severity: l.limit.severity,
            value: l.limit.value,
            from_s: l.from_s,
            to_s: l.to_s.unwrap_or(job.now()),
            label: l.limit.label.clone(),
            source: format!("{} ({})", l.limit.source.document, l.limit.source.status),
        })
        .collect()
}
