//! How fast the depth of a vessel with people in it changes, true and as its gauge indicates: over two minutes, so
//! that a gauge's step is small beside what is told.

use super::bells::depths;
use super::kept::Group;
use super::people::Occupied;
use super::{LimitBook, Sight};
use deepstay_core::record::{Aspect, Bound, Phase, Severity, Sink};
use deepstay_core::units::*;
use deepstay_rules::{Limit, RuleSet};
use serde::{Deserialize, Serialize};

/// Time over which a rate is taken, s.
const WINDOW_S: i64 = 120;

/// When depths were last looked at, and what they were: true and indicated, msw.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(super) struct RateWatch {
    looked_s: i64,
    next_s: i64,
    depths: Vec<(f64, f64)>,
}

impl RateWatch {
    /// The next look, while anybody is under pressure.
    pub fn next_s(&self, at: &Occupied) -> i64 {
        if at.any() { self.next_s } else { i64::MAX }
    }
}

impl LimitBook {
    pub(super) fn look_at_rates(&mut self, sight: &Sight, sink: &mut impl Sink) {
        let now_s = sight.now_s;
        if !self.at.any() || now_s < self.rates.next_s {
            return;
        }
        let before = std::mem::take(&mut self.rates.depths);
        let passed_s = now_s - self.rates.looked_s;
        let count = sight.scenario.steel.compartments.len() as u8;
        let now: Vec<(f64, f64)> = (0..count)
            .map(|i| match self.at.keeps(CompartmentId(i)) {
                true => depths(CompartmentId(i), sight),
                false => (f64::NAN, f64::NAN),
            })
            .collect();
        for k in 0..self.kept.len() {
            let kept = &self.kept[k];
            if !kept.in_use() || kept.group != Group::Rate || passed_s != WINDOW_S {
                continue;
            }
            let i = kept.name.compartment.index();
            let Some((then, now)) = before.get(i).zip(now.get(i)) else {
                continue;
            };
            let moved = match kept.truth {
                Truth::True => now.0 - then.0,
                Truth::Shown => now.1 - then.1,
            };
            if moved.is_finite() {
                self.feed(k, moved * 60.0 / WINDOW_S as f64, sight, sink);
            }
        }
        self.rates = RateWatch {
            looked_s: now_s,
            next_s: now_s - now_s.rem_euclid(WINDOW_S) + WINDOW_S,
            depths: now,
        };
    }
}

/// Limits of a rate in a phase: on the way down by the timetable of the rule set, else its own or the house's.
pub(super) fn limits(
    rules: &RuleSet,
    accepted: &[String],
    phase: Phase,
    from_msw: f64,
    to_msw: f64,
) -> Vec<Limit> {
    let of_phase = match phase {
        Phase::Surface => Phase::Storage,
        other => other,
    };
    let mut limits = rules.rate_limits(of_phase, accepted);
    // A chamber that is all but at the surface is pressed from there.
    let from_msw = if from_msw < 1.0 { 0.0 } else { from_msw };
    if phase == Phase::Compression
        && to_msw > from_msw
        && let Ok(plan) = rules.press(from_msw, to_msw, accepted)
        && let Some(row) = plan.rows.first()
    {
        let rates = plan.legs.iter().map(|leg| leg.rate_msw_s);
        limits.push(Limit {
            id: row.clone(),
            quantity: Quantity::Depth,
            aspect: Aspect::Rate,
            bound: Bound::High,
            value: rates.fold(0.0, f64::max) * 60.0,
            severity: Severity::Limit,
            stands_s: 0,
            label: String::new(),
            source: plan.source.clone(),
        });
    }
    limits
}
