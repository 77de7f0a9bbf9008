//! Limits of the rule set in use, by chamber and phase, watched true and shown apart; the shown
//! ones are the alarms. A limit is in force while its phase lasts: regimes are not mixed.

use deepstay_core::record::{AlarmState, Bound, Entry, Phase, Severity, Sink, What, Whereabouts};
use deepstay_core::units::*;
use deepstay_crew::Crew;
use deepstay_plant::{Plant, Steel, Watched};
use deepstay_rules::Limit;
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize, Serializer};

/// First owner number of the limits' monitors; a limit's place in the book is added.
pub(super) const LIMITS: u32 = 1000;

/// How soon it is looked again whether people have come into a chamber that is off its depth, s.
const EMPTY_AGAIN_S: i64 = 300;

/// One limit being watched.
#[derive(Clone, Debug, Serialize, Deserialize)]
struct Kept {
    compartment: CompartmentId,
    quantity: Quantity,
    bound: Bound,
    value: f64,
    instrument: Option<InstrumentId>,
    severity: Severity,
    /// How far beyond the value counts as beyond.
    step: f64,
    /// How far it must come back before it is kept again.
    dead_band: f64,
    stands_s: i64,
    /// Beyond the value.
    beyond: bool,
    /// Second at which it will have stood long enough to count.
    counts_at_s: Option<i64>,
    /// Counted as outside.
    outside: bool,
    unacknowledged: bool,
    /// The rule's row, where the limit goes along with the ordered depth.
    moves: Option<String>,
}

impl Kept {
    fn in_use(&self) -> bool {
        !self.value.is_nan()
    }

    /// Whether it keeps a limit: the same quantity and bound, and nearly the same value. A band that moves with
    /// depth is followed in steps.
    fn is(&self, limit: &Limit) -> bool {
        self.moves.is_none()
            && self.quantity == limit.quantity
            && self.bound == limit.bound
            && self.severity == limit.severity
            && (self.value - limit.value).abs() <= FOLLOWED_BY * scale(self.quantity, limit.value)
    }

    fn is_band(&self, band: &InForce) -> bool {
        self.compartment == band.compartment && self.is(&band.limit)
    }
}

/// Share of a limit by which it must have moved with depth before the new value takes its place.
const FOLLOWED_BY: f64 = 0.02;

/// A limit in force for a stretch of time, for the report.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct InForce {
    /// Where.
    pub compartment: CompartmentId,
    /// From when, s.
    pub from_s: i64,
    /// Until when, s; none while it is.
    pub to_s: Option<i64>,
    /// The limit.
    pub limit: Limit,
}

/// What a chamber is ordered to do: its phase, the depth it left and the one it goes to, msw.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
struct Ordered {
    compartment: CompartmentId,
    phase: Phase,
    from_msw: f64,
    to_msw: f64,
}

/// All limits being watched.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(super) struct LimitBook {
    kept: Vec<Kept>,
    ordered: Vec<Ordered>,
    /// All that were; a save keeps those that still are.
    #[serde(serialize_with = "those_in_force")]
    pub(super) in_force: Vec<InForce>,
    /// Ids of the rows that answered since this was last emptied.
    #[serde(skip)]
    pub(super) answered: Vec<String>,
}

fn those_in_force<S: Serializer>(all: &[InForce], out: S) -> Result<S::Ok, S::Error> {
    let still: Vec<&InForce> = all.iter().filter(|f| f.to_s.is_none()).collect();
    still.serialize(out)
}

impl LimitBook {
    /// A phase begins, or a chamber is meant to be at another depth: the limits for it replace those that
    /// were in force there.
    pub(super) fn hear(
        &mut self,
        what: &What,
        now_s: i64,
        scenario: &Scenario,
        plant: &mut Plant,
        sink: &mut impl Sink,
    ) {
        let (compartment, depth_msw) = match *what {
            What::Phase { compartment, .. } => (
                compartment,
                plant.truth(compartment, Quantity::Depth, now_s),
            ),
            What::Target {
                compartment,
                depth_msw,
            } => (compartment, depth_msw),
            _ => return,
        };
        let ordered = self.order(what, compartment);
        let phase = ordered.phase;
        self.move_depths(ordered, now_s, scenario, plant, sink);
        let limits = match phase {
            Phase::Surface => Vec::new(),
            _ => scenario.rules.limits(phase, depth_msw, &scenario.accepted),
        };
        self.answered.extend(limits.iter().map(|l| l.id.clone()));
        for k in 0..self.kept.len() {
            let kept = &self.kept[k];
            if kept.compartment == compartment
                && kept.in_use()
                && kept.moves.is_none()
                && !limits.iter().any(|l| kept.is(l))
            {
                self.end(k, now_s, plant, sink);
            }
        }
        for limit in &limits {
            let kept_already = self
                .kept
                .iter()
                .any(|k| k.compartment == compartment && k.in_use() && k.is(limit));
            if !kept_already {
                self.in_force.push(InForce {
                    compartment,
                    from_s: now_s,
                    to_s: None,
                    limit: limit.clone(),
                });
                self.begin(compartment, limit, None, now_s, plant);
            }
        }
    }

    /// Takes in what a chamber is ordered to do. Once it is in storage only the depth it is held at counts.
    fn order(&mut self, what: &What, compartment: CompartmentId) -> Ordered {
        let known = self
            .ordered
            .iter()
            .position(|o| o.compartment == compartment);
        let k = known.unwrap_or_else(|| {
            self.ordered.push(Ordered {
                compartment,
                phase: Phase::Surface,
                from_msw: 0.0,
                to_msw: 0.0,
            });
            self.ordered.len() - 1
        });
        let ordered = &mut self.ordered[k];
        match *what {
            What::Phase { phase, .. } => {
                ordered.phase = phase;
                ordered.from_msw = ordered.to_msw;
            }
            What::Target { depth_msw, .. } => {
                ordered.from_msw = ordered.to_msw;
                ordered.to_msw = depth_msw;
            }
            _ => {}
        }
        *ordered
    }

    /// The limits of depth go along with what is ordered; what is outside stays so until it is back.
    fn move_depths(
        &mut self,
        ordered: Ordered,
        now_s: i64,
        scenario: &Scenario,
        plant: &mut Plant,
        sink: &mut impl Sink,
    ) {
        let Ordered {
            compartment,
            phase,
            from_msw,
            to_msw,
        } = ordered;
        let (shallow_msw, deep_msw) = (from_msw.min(to_msw), from_msw.max(to_msw));
        let limits = scenario
            .rules
            .depth_limits(phase, shallow_msw, deep_msw, &scenario.accepted);
        self.answered.extend(limits.iter().map(|l| l.id.clone()));
        for k in 0..self.kept.len() {
            let kept = &mut self.kept[k];
            let Some(row) = kept
                .moves
                .as_ref()
                .filter(|_| kept.compartment == compartment && !kept.value.is_nan())
            else {
                continue;
            };
            match limits.iter().find(|l| l.id == *row) {
                None => self.end(k, now_s, plant, sink),
                Some(limit) => {
                    kept.value = limit.value;
                    self.wait(k, now_s, plant);
                }
            }
        }
        for limit in &limits {
            let same = |k: &Kept| {
                k.compartment == compartment
                    && k.in_use()
                    && k.moves.as_ref().is_some_and(|row| *row == limit.id)
            };
            if !self.kept.iter().any(same) {
                self.begin(compartment, limit, Some(limit.id.clone()), now_s, plant);
            }
        }
        self.list_depths(compartment, phase, limits, now_s);
    }

    /// The bands of depth shown to a reader are those of storage: on the way they move too often to be drawn.
    fn list_depths(
        &mut self,
        compartment: CompartmentId,
        phase: Phase,
        mut limits: Vec<Limit>,
        now_s: i64,
    ) {
        limits.retain(|_| phase == Phase::Storage);
        for over in self.in_force.iter_mut().filter(|f| {
            f.compartment == compartment && f.limit.quantity == Quantity::Depth && f.to_s.is_none()
        }) {
            match limits.iter().position(|l| *l == over.limit) {
                Some(same) => {
                    limits.remove(same);
                }
                None => over.to_s = Some(now_s),
            }
        }
        self.in_force
            .extend(limits.into_iter().map(|limit| InForce {
                compartment,
                from_s: now_s,
                to_s: None,
                limit,
            }));
    }

    /// A limit is in force no longer; what was outside it is outside no longer.
    fn end(&mut self, k: usize, now_s: i64, plant: &mut Plant, sink: &mut impl Sink) {
        let kept = &mut self.kept[k];
        if kept.outside {
            kept.outside = false;
            say(kept, now_s, plant, sink);
        }
        if let Some(over) = self
            .in_force
            .iter_mut()
            .rfind(|f| f.to_s.is_none() && kept.is_band(f))
        {
            over.to_s = Some(now_s);
        }
        kept.value = f64::NAN;
        kept.counts_at_s = None;
        plant.set_monitors(LIMITS + k as u32, None, now_s);
    }

    fn begin(
        &mut self,
        compartment: CompartmentId,
        limit: &Limit,
        moves: Option<String>,
        now_s: i64,
        plant: &mut Plant,
    ) {
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
                bound: limit.bound,
                value: limit.value,
                instrument,
                severity: limit.severity,
                step: match shown {
                    true => EDGE * scale(limit.quantity, limit.value),
                    false => seen_from(plant.steel(), compartment, limit),
                },
                dead_band: dead_band(plant.steel(), compartment, limit.quantity),
                stands_s: limit.stands_s,
                beyond: false,
                counts_at_s: None,
                outside: false,
                unacknowledged: false,
                moves: moves.clone(),
            };
            let k = self
                .kept
                .iter()
                .position(|k| k.value.is_nan())
                .unwrap_or(self.kept.len());
            if k == self.kept.len() {
                self.kept.push(kept);
            } else {
                self.kept[k] = kept;
            }
            self.wait(k, now_s, plant);
        }
    }

    /// Waits for the next crossing of a limit: out, or back by the margin.
    fn wait(&self, k: usize, now_s: i64, plant: &mut Plant) {
        let kept = &self.kept[k];
        let watched = match kept.instrument {
            Some(id) => Watched::Shown(id),
            None => Watched::True(kept.compartment, kept.quantity),
        };
        let high = kept.bound == Bound::High;
        let (above, value) = match (high, kept.beyond) {
            (true, false) => (true, kept.value + kept.step),
            (true, true) => (false, kept.value - kept.dead_band),
            (false, false) => (false, kept.value - kept.step),
            (false, true) => (true, kept.value + kept.dead_band),
        };
        plant.set_monitors(LIMITS + k as u32, Some((watched, above, value)), now_s);
    }

    /// A limit was crossed, out or back. Where it must have stood for a time, that time begins.
    pub(super) fn crossed(
        &mut self,
        k: u32,
        now_s: i64,
        plant: &mut Plant,
        crew: &Crew,
        sink: &mut impl Sink,
    ) {
        let Some(kept) = self.kept.get_mut(k as usize).filter(|k| !k.value.is_nan()) else {
            return;
        };
        kept.beyond = !kept.beyond;
        if kept.beyond {
            kept.counts_at_s = Some(now_s + kept.stands_s);
        } else {
            kept.counts_at_s = None;
            if kept.outside {
                kept.outside = false;
                kept.unacknowledged = false;
                say(kept, now_s, plant, sink);
            }
        }
        self.wait(k as usize, now_s, plant);
        self.count(now_s, plant, crew, sink);
    }

    /// The next second at which something will have stood long enough.
    pub(super) fn next_s(&self) -> i64 {
        self.kept
            .iter()
            .filter_map(|k| k.counts_at_s)
            .min()
            .unwrap_or(i64::MAX)
    }

    /// Counts what has stood long enough. The depth of a chamber counts while people are in it.
    pub(super) fn count(&mut self, now_s: i64, plant: &Plant, crew: &Crew, sink: &mut impl Sink) {
        for kept in &mut self.kept {
            if kept.counts_at_s.is_some_and(|t| t <= now_s) {
                let here = Whereabouts::In(kept.compartment);
                if kept.moves.is_some() && crew.ids().all(|d| crew.whereabouts(d) != here) {
                    kept.counts_at_s = Some(now_s + EMPTY_AGAIN_S);
                    continue;
                }
                kept.counts_at_s = None;
                kept.outside = true;
                kept.unacknowledged = true;
                say(kept, now_s, plant, sink);
            }
        }
    }

    /// The station at the panel has looked: what rings is acknowledged.
    pub(super) fn acknowledge(&mut self, now_s: i64, sink: &mut impl Sink) {
        for kept in self
            .kept
            .iter_mut()
            .filter(|k| k.unacknowledged && k.instrument.is_some())
        {
            kept.unacknowledged = false;
            let Kept {
                compartment,
                quantity,
                bound,
                severity,
                value,
                ..
            } = *kept;
            let what = What::Alarm {
                compartment,
                quantity,
                bound,
                severity,
                state: AlarmState::Acknowledged,
                value,
            };
            sink.take(Entry { at: now_s, what });
        }
    }
}

/// Enters that a limit is outside or kept again; a shown one is an alarm.
fn say(kept: &Kept, at: i64, plant: &Plant, sink: &mut impl Sink) {
    let Kept {
        compartment,
        quantity,
        bound,
        severity,
        value: limit,
        outside,
        ..
    } = *kept;
    let (truth, value) = match kept.instrument {
        Some(id) => (Truth::Shown, plant.read(id, at)),
        None => (Truth::True, plant.truth(compartment, quantity, at)),
    };
    sink.take(Entry {
        at,
        what: What::Limit {
            compartment,
            quantity,
            bound,
            severity,
            limit,
            value,
            truth,
            outside,
        },
    });
    if truth == Truth::Shown {
        let state = if outside {
            AlarmState::Unacknowledged
        } else {
            AlarmState::Normal
        };
        sink.take(Entry {
            at,
            what: What::Alarm {
                compartment,
                quantity,
                bound,
                severity,
                state,
                value,
            },
        });
    }
}

/// A reading on the limit itself does not cross it: beyond by this share of it does.
const EDGE: f64 = 1e-9;

/// What a share of a limit is a share of: temperatures count in kelvin differences.
fn scale(quantity: Quantity, value: f64) -> f64 {
    match quantity {
        Quantity::Temperature => 30.0,
        Quantity::Depth => 10.0,
        _ => value.abs(),
    }
}

/// How far a true value must be beyond a limit to count: one step of the instrument that shows it, for less is
/// seen by nobody.
fn seen_from(steel: &Steel, at: CompartmentId, limit: &Limit) -> f64 {
    let step = steel
        .instrument(at, limit.quantity, Channel::Primary)
        .map_or(0.0, |id| steel.instruments[id.index()].resolution);
    step.max(EDGE * scale(limit.quantity, limit.value))
}

/// How far a value must come back before its limit is kept again (the dead band of IEC 62682): no finer than
/// the instrument tells, and not finer than class rules ask of analysers.
fn dead_band(steel: &Steel, at: CompartmentId, quantity: Quantity) -> f64 {
    let instrument = steel
        .instrument(at, quantity, Channel::Primary)
        .map(|id| &steel.instruments[id.index()]);
    let of_instrument = instrument.map_or(0.0, |i| i.accuracy.max(i.resolution));
    let least = match quantity {
        Quantity::PpO2 => OXYGEN_CLASS_BAR,
        Quantity::PpCo2 => CO2_CLASS_BAR,
        Quantity::FO2 => OXYGEN_CLASS_SHARE,
        Quantity::Depth
        | Quantity::SeaDepth
        | Quantity::Temperature
        | Quantity::Humidity
        | Quantity::GaugePressure => 0.0,
    };
    of_instrument.max(least)
}

/// Accuracy of an oxygen analyser, bar and as a fraction of the surface's (Lloyd's Register, Rules for
/// submersibles and diving systems, Part 6 Chapter 2, 3.3.7).
const OXYGEN_CLASS_BAR: f64 = 0.015;
/// See [`OXYGEN_CLASS_BAR`].
const OXYGEN_CLASS_SHARE: f64 = 0.001;
/// Accuracy of a carbon dioxide analyser, bar (the same, 3.3.8).
const CO2_CLASS_BAR: f64 = 0.001;
