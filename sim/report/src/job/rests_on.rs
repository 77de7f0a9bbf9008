//! Which limits were in force when, for a job's report.

use super::inputs::LimitBand;
use deepstay_core::record::{BandTime, LimitBy, Recorder};
use deepstay_scenario::Scenario;

/// The limits that were in force, each until another took its place or the end, with what it is called and where
/// it comes from.
pub fn limit_bands(scenario: &Scenario, record: &Recorder, end_s: i64) -> Vec<LimitBand> {
    let rows = scenario.rules.row_list();
    let band = |b: &BandTime| {
        let row = match b.name.by {
            LimitBy::Row(row) => rows.get(row.index()),
            LimitBy::Rating | LimitBy::SetPoint | LimitBy::Panel(_) => None,
        };
        let (label, source) = match row {
            Some(row) => (
                scenario
                    .rules
                    .limit_label(&row.id, b.name.quantity, b.name.bound),
                format!("{} ({})", row.source.document, row.source.status),
            ),
            None => (
                "what the vessel is rated for".to_owned(),
                "the spread".to_owned(),
            ),
        };
        LimitBand {
            name: b.name,
            value: b.limit,
            from_s: b.from_s,
            to_s: b.to_s.unwrap_or(end_s),
            label,
            source,
        }
    };
    record.bands.list().iter().map(band).collect()
}
