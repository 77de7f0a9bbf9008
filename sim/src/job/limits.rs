//! Limits of the rule set in use, by chamber and phase, watched true and shown apart; the shown
//! ones are the alarms. A limit is in force while its phase lasts: regimes are not mixed.

use super::run::LIMITS;
use crate::plant::{Plant, Watched};
use crate::record::{AlarmState, Entry, Phase, Side, Sink, What};
use crate::rules::Limit;
use crate::scenario::Scenario;
use crate::units::*;
use serde::{Deserialize, Serialize};

/// A value must come back by this share of the limit before the limit counts as kept again: an
/// alarm that chatters warns of nothing (house rule).
const BACK_BY: f64 = 0.01;

/// One limit being watched.
#[derive(Clone, Debug, Serialize, Deserialize)]
struct Kept {
    compartment: CompartmentId,
    quantity: Quantity,
    side: Side,
    value: f64,
    instrument: Option<InstrumentId>,
    outside: bool,
    unacknowledged: bool,
}

/// A limit in force for a stretch of time, for the report.
#[derive(Clone, Debug)]
pub struct InForce {
    /// Where.
    pub compartment: CompartmentId,
    /// From when, s.
    pub from_s: i64,
    /// The limit.
    pub limit: Limit,
}

/// All limits being watched.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct LimitBook {
    kept: Vec<Kept>,
    #[serde(skip)]
    pub(super) in_force: Vec<InForce>,
}

impl LimitBook {
    pub(super) fn new(_: &Scenario) -> Self {
        LimitBook { kept: Vec::new(), in_force: Vec::new() }
    }

    /// A phase begins: its limits replace those of the phase before in that chamber.
    pub(super) fn hear(&mut self, what: &What, now_s: i64, scenario: &Scenario, plant: &mut Plant) {
        let What::Phase { compartment, phase } = *what else { return };
        for (k, kept) in self.kept.iter_mut().enumerate() {
            if kept.compartment == compartment && !kept.value.is_nan() {
                kept.value = f64::NAN;
                plant.set_monitors(LIMITS + k as u32, None, now_s);
            }
        }
        if phase == Phase::Surface {
            return;
        }
        let depth_msw = plant.truth(compartment, Quantity::Depth, now_s);
        for limit in scenario.rules.limits(phase, depth_msw, &scenario.accepted) {
            self.in_force.push(InForce { compartment, from_s: now_s, limit: limit.clone() });
            for shown in [true, false] {
                let instrument = plant
                    .steel()
                    .instrument(compartment, limit.quantity, Channel::Primary)
                    .filter(|_| shown);
                if shown && instrument.is_none() {
                    continue;
                }
                let kept = Kept {
                    compartment,
                    quantity: limit.quantity,
                    side: limit.side,
                    value: limit.value,
                    instrument,
                    outside: false,
                    unacknowledged: false,
                };
                let k = self.kept.iter().position(|k| k.value.is_nan() && !k.outside).unwrap_or(self.kept.len());
                if k == self.kept.len() {
                    self.kept.push(kept);
                } else {
                    self.kept[k] = kept;
                }
                self.wait(k, now_s, plant);
            }
        }
    }

    /// Waits for the next crossing of a limit: out, or back by the margin.
    fn wait(&self, k: usize, now_s: i64, plant: &mut Plant) {
        let kept = &self.kept[k];
        let watched = match kept.instrument {
            Some(id) => Watched::Shown(id),
            None => Watched::True(kept.compartment, kept.quantity),
        };
        let high = kept.side == Side::High;
        let margin = BACK_BY * scale(kept.quantity, kept.value);
        let (above, value) = match (high, kept.outside) {
            (true, false) => (true, kept.value + EDGE * scale(kept.quantity, kept.value)),
            (true, true) => (false, kept.value - margin),
            (false, false) => (false, kept.value - EDGE * scale(kept.quantity, kept.value)),
            (false, true) => (true, kept.value + margin),
        };
        plant.set_monitors(LIMITS + k as u32, Some((watched, above, value)), now_s);
    }

    /// A limit was crossed, out or back.
    pub(super) fn crossed(&mut self, k: u32, now_s: i64, plant: &mut Plant, sink: &mut impl Sink) {
        let Some(kept) = self.kept.get_mut(k as usize) else { return };
        if kept.value.is_nan() {
            return;
        }
        kept.outside = !kept.outside;
        kept.unacknowledged = kept.outside;
        let kept = kept.clone();
        let (truth, value) = match kept.instrument {
            Some(id) => (Truth::Shown, plant.read(id, now_s)),
            None => (Truth::True, plant.truth(kept.compartment, kept.quantity, now_s)),
        };
        let Kept { compartment, quantity, side, value: limit, outside, .. } = kept;
        sink.take(Entry { at: now_s, what: What::Limit { compartment, quantity, side, limit, value, truth, outside } });
        if truth == Truth::Shown {
            let state = if outside { AlarmState::Unacknowledged } else { AlarmState::Normal };
            sink.take(Entry { at: now_s, what: What::Alarm { compartment, quantity, side, state, value } });
        }
        self.wait(k as usize, now_s, plant);
    }

    /// The seat at the panel has looked: what rings is acknowledged.
    pub(super) fn acknowledge(&mut self, now_s: i64, sink: &mut impl Sink) {
        for kept in self.kept.iter_mut().filter(|k| k.unacknowledged && k.instrument.is_some()) {
            kept.unacknowledged = false;
            let Kept { compartment, quantity, side, value, .. } = *kept;
            let what = What::Alarm { compartment, quantity, side, state: AlarmState::Acknowledged, value };
            sink.take(Entry { at: now_s, what });
        }
    }
}

/// A reading on the limit itself does not cross it: beyond by this share of it does.
const EDGE: f64 = 1e-9;

/// What a share of a limit is a share of: temperatures count in kelvin differences.
fn scale(quantity: Quantity, value: f64) -> f64 {
    match quantity {
        Quantity::Temperature => 30.0,
        Quantity::Depth => value.abs().max(10.0),
        _ => value.abs(),
    }
}
