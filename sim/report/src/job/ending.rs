//! How a job ended, the worst first: what the screen, the page, `job.json` and the exit code all say.

use super::inputs::Inputs;
use deepstay_core::record::{Fitness, LostPressure, RunEnd, Unwell};
use deepstay_core::units::{Quantity, fixed};
use deepstay_core::words::{Names, Words};
use serde::Serialize;
use std::collections::BTreeMap;

/// How it ended, from best to worst.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ending {
    /// Gone through to the end, all its bell runs made, within limits.
    Complete,
    /// The same, but limits were crossed.
    LimitsCrossed,
    /// Everybody is back, but bell runs were not made or were broken off.
    WorkNotDone,
    /// Not gone through to its end.
    NotComplete,
    /// People lost their pressure.
    PressureLost,
    /// Somebody was hurt.
    SomebodyHurt,
    /// Somebody died.
    SomebodyDied,
}

impl Ending {
    /// The ending of a run, and its reason in words.
    pub fn of(inputs: &Inputs<'_>) -> (Ending, String) {
        let (record, outcome) = (inputs.record, inputs.outcome);
        let hurt: Vec<&Unwell> = record.people_hurt().collect();
        let lost: Vec<String> = record.pressure.lost().map(|l| told(inputs, l)).collect();
        let count = |end| record.bell.runs().iter().filter(|r| r.end() == end).count();
        let (missed, broken) = (count(RunEnd::Missed), count(RunEnd::BrokenOff));
        let lost_pressure = !lost.is_empty();
        let mut reasons: Vec<String> = hurt.iter().map(|h| harmed(inputs, h)).collect();
        reasons.extend(lost);
        let ending = if hurt.iter().any(|h| h.worst.to == Fitness::Dead) {
            Ending::SomebodyDied
        } else if !hurt.is_empty() {
            Ending::SomebodyHurt
        } else if lost_pressure {
            Ending::PressureLost
        } else if !outcome.complete {
            Ending::NotComplete
        } else if missed + broken > 0 {
            let mut why = BTreeMap::new();
            for (stopped, _) in record.bell.runs().iter().filter_map(|r| r.stopped) {
                *why.entry(stopped.words()).or_insert(0) += 1;
            }
            let why: Vec<String> = why.iter().map(|(w, n)| format!("{w} {n}")).collect();
            reasons.push(format!(
                "of {} bell runs {missed} not made, {broken} broken off ({})",
                record.bell.runs().len(),
                why.join(", ")
            ));
            Ending::WorkNotDone
        } else if !record.limits.totals(outcome.ended_s).is_empty() {
            Ending::LimitsCrossed
        } else {
            Ending::Complete
        };
        reasons.push(outcome.reason.clone());
        (ending, reasons.join("; "))
    }

    /// Whether the job was gone through to its end with its work done.
    pub fn complete(self) -> bool {
        self <= Ending::LimitsCrossed
    }

    /// Its words.
    pub fn words(self) -> &'static str {
        match self {
            Ending::Complete => "Complete",
            Ending::LimitsCrossed => "Complete, limits crossed",
            Ending::WorkNotDone => "Work not done",
            Ending::NotComplete => "Not complete",
            Ending::PressureLost => "Pressure lost",
            Ending::SomebodyHurt => "Somebody hurt",
            Ending::SomebodyDied => "Somebody died",
        }
    }
}

fn harmed(inputs: &Inputs<'_>, one: &Unwell) -> String {
    let subject = inputs.subject;
    format!(
        "{} {} of {} {}",
        subject.initials(one.diver),
        one.worst.to.words(),
        one.worst.cause.words(),
        subject.time.clock(one.worst.at_s)
    )
}

fn told(inputs: &Inputs<'_>, lost: &LostPressure) -> String {
    let subject = inputs.subject;
    let divers: Vec<String> = lost.divers.iter().map(|d| subject.initials(*d)).collect();
    let scale = inputs.units.scale(Quantity::Depth);
    format!(
        "{} lost their pressure in {}: from {} to {} {}, first known {}",
        divers.join(", "),
        subject.compartment(lost.compartment),
        fixed(scale.of(lost.from_msw), 1),
        fixed(scale.of(lost.to_msw), 1),
        scale.plain,
        subject.time.clock(lost.at_s)
    )
}
