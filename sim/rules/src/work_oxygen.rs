//! Oxygen that may be breathed at work, by how long the work lasts: a printed table of most partial pressures.
//! It speaks of the gas at the mouth of a diver who works, never of a chamber; the chamber's limits stand apart.

use super::quantities::{Duration, Pressure};
use super::row::{Printed, pick};
use super::{RuleSet, Source};
use serde::Deserialize;

/// Most oxygen at work by its continuous duration, from short to long.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WorkOxygenFigures {
    /// Work that lasts no longer than the first, at most so much.
    pub steps: Vec<(Duration, Pressure)>,
}

/// Most oxygen at work of a given length.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkOxygen {
    /// Most partial pressure, bar.
    pub most_bar: f64,
    /// The printed duration that the work falls under, s.
    pub up_to_s: i64,
    /// Id of the row used.
    pub id: String,
    /// Where it comes from.
    pub source: Source,
}

impl WorkOxygenFigures {
    /// Whether longer work has a longer duration and less oxygen.
    pub(super) fn in_order(&self) -> bool {
        let fall = |pair: &[(Duration, Pressure)]| {
            pair[0].0.get() < pair[1].0.get() && pair[0].1.get() > pair[1].1.get()
        };
        !self.steps.is_empty() && self.steps.windows(2).all(fall)
    }

    fn of(&self, work_s: i64) -> Option<&(Duration, Pressure)> {
        self.steps
            .iter()
            .find(|(up_to, _)| work_s as f64 <= up_to.get())
    }
}

impl Printed for WorkOxygenFigures {
    fn printed(&self) -> String {
        let steps = self.steps.iter();
        let words: Vec<String> = steps
            .map(|(up_to, most)| format!("{up_to}: {most}"))
            .collect();
        format!("at most, by length of work: {}", words.join("; "))
    }
}

impl RuleSet {
    /// Most oxygen that may be breathed in continuous work of that length, s. Between two printed durations the
    /// longer one holds, which is the stricter. None where the set has no such figure that this job may use, or
    /// where the work is longer than the last printed duration: nothing is carried past the end of a table.
    pub fn work_oxygen(&self, work_s: i64, accepted: &[String]) -> Option<WorkOxygen> {
        let reaches = |figures: &WorkOxygenFigures| match figures.of(work_s) {
            Some(_) => Ok(()),
            None => Err("shorter work".to_owned()),
        };
        let row = pick(&self.work_oxygen, accepted, reaches, &mut Vec::new())?;
        let (up_to, most) = row.figures.of(work_s)?;
        Some(WorkOxygen {
            most_bar: most.get(),
            up_to_s: up_to.get() as i64,
            id: row.id.clone(),
            source: row.source.clone(),
        })
    }
}
