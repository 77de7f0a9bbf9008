//! Which rows of the rule set each step of a plan goes by, so that the log can name the table in use.

use deepstay_core::record::Phase;
use deepstay_core::units::CompartmentId;
use deepstay_rules::StorageChange;
use deepstay_scenario::{Scenario, SideDo};

/// The rows that one step of a side goes by.
#[derive(Clone, Debug, PartialEq)]
pub struct TableInUse {
    /// The side's compartments.
    pub members: Vec<CompartmentId>,
    /// Phase that the step begins.
    pub phase: Phase,
    /// Earliest second.
    pub from_s: i64,
    /// Ids of the rows in the rule set.
    pub rows: Vec<String>,
    /// Depth after it, msw.
    pub to_msw: f64,
}

/// The rows that each step of the plan goes by, side by side and in order of time.
pub fn tables_used(scenario: &Scenario) -> Vec<TableInUse> {
    let (rules, accepted) = (&scenario.rules, &scenario.accepted[..]);
    let mut used = Vec::new();
    for side in &scenario.plan.sides {
        let mut depth = 0.0_f64;
        for step in &side.steps {
            let clock = (scenario.start_second_of_day + step.at).rem_euclid(86_400);
            let (phase, rows, to_msw) = match step.what {
                SideDo::Press(to) | SideDo::ChangeStorage(to) if to > depth => (
                    Phase::Compression,
                    rules
                        .press(depth, to, accepted)
                        .map(|p| p.rows)
                        .unwrap_or_default(),
                    to,
                ),
                SideDo::Press(to) | SideDo::ChangeStorage(to) => {
                    let rows = match rules.change_storage(depth, to, clock, accepted) {
                        Ok(StorageChange::Bleed(plan)) => plan.rows,
                        _ => Vec::new(),
                    };
                    (Phase::Decompression, rows, to)
                }
                SideDo::Decompress => {
                    let rows = rules
                        .decompression(depth, clock, accepted)
                        .map(|p| p.rows)
                        .unwrap_or_default();
                    (Phase::Decompression, rows, 0.0)
                }
                SideDo::Abort => {
                    let rows = rules
                        .emergency_decompression(depth, clock, accepted)
                        .map(|p| p.rows)
                        .unwrap_or_default();
                    (Phase::Decompression, rows, 0.0)
                }
            };
            depth = to_msw;
            used.push(TableInUse {
                members: side.members.clone(),
                phase,
                from_s: step.at,
                rows,
                to_msw,
            });
        }
    }
    used
}
