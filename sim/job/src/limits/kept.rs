//! One limit that is kept: when it is next crossed, out or back, and what is told of it then.

use super::people::Occupied;
use deepstay_core::record::{
    AlarmSetting, Aspect, Bound, Entry, LimitBy, LimitName, Sink, SoundsAt, What,
};
use deepstay_core::units::*;
use deepstay_plant::{Breath, Plant, Steel, Watched, truly};
use serde::{Deserialize, Serialize};

/// Which of a vessel's limits belong together: a group is replaced as a whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Group {
    /// Gas and climate by phase.
    Atmosphere,
    /// Depth against what is ordered.
    Depth,
    /// What the steel is rated for.
    Rating,
    /// What is breathed from lines.
    Breathed,
    /// How fast the depth changes.
    Rate,
    /// What the loop supplies.
    Loop,
    /// What feeds the lines that are breathed from.
    Supply,
}

/// A limit that is to be kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Wanted {
    pub name: LimitName,
    pub stands_s: i64,
    /// The limit of the true value, and of the indicated one: the same but where what is ordered was read off.
    pub truly: f64,
    pub indicated: f64,
    /// It counts only while people are in the vessel, or are to come back to it.
    pub manned: bool,
    /// A reader is shown it as a band.
    pub listed: bool,
    /// Which instrument indicates it, where there are two.
    pub channel: Channel,
}

/// One limit being kept, by the truth or by an instrument.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Kept {
    pub name: LimitName,
    pub group: Group,
    channel: Channel,
    pub value: f64,
    pub instrument: Option<InstrumentId>,
    pub truth: Truth,
    /// How far beyond the value counts as beyond.
    step: f64,
    /// How far it must come back before it is kept again.
    dead_band: f64,
    pub stands_s: i64,
    pub manned: bool,
    /// Beyond the value.
    pub beyond: bool,
    /// Second at which it will have stood long enough to count.
    pub counts_at_s: Option<i64>,
    /// Since when it has been beyond the value, with people there where that counts, s.
    pub since_s: i64,
    /// Counted as outside.
    pub outside: bool,
    /// While outside: the value furthest out at any look, and the furthest that was told.
    furthest: (f64, f64),
    /// How the alarm is set that is fitted for it.
    pub alarm: Option<AlarmSetting>,
    /// The last value of what no monitor of the plant watches.
    pub fed: f64,
}

impl Kept {
    /// A limit that begins to be kept; none of an instrument that is not there.
    pub fn begin(steel: &Steel, group: Group, wanted: &Wanted, truth: Truth) -> Option<Kept> {
        let name = wanted.name;
        let instrument = steel
            .instrument(name.compartment, name.quantity, wanted.channel)
            .filter(|_| matches!(name.aspect, Aspect::Inside | Aspect::Rate));
        let value = match truth {
            Truth::True => wanted.truly,
            Truth::Shown => wanted.indicated,
        };
        let switch = matches!(name.aspect, Aspect::Supply(_));
        if truth == Truth::Shown && instrument.is_none() && !switch {
            return None;
        }
        if truth == Truth::True && !is_limit(&name) {
            return None;
        }
        Some(Kept {
            name,
            group,
            channel: wanted.channel,
            value,
            instrument: instrument.filter(|_| truth == Truth::Shown),
            truth,
            step: match (name.aspect, truth) {
                // Two readings make a rate, and neither is better than the gauge.
                (Aspect::Rate, _) => dead_band(steel, &name),
                (_, Truth::Shown) => edge(name.quantity, value),
                (_, Truth::True) => seen_from(steel, &name, value),
            },
            dead_band: dead_band(steel, &name),
            stands_s: wanted.stands_s,
            manned: wanted.manned,
            beyond: false,
            counts_at_s: None,
            since_s: 0,
            outside: false,
            furthest: (f64::NAN, f64::NAN),
            alarm: fitted(steel, wanted).filter(|_| truth == Truth::Shown),
            fed: f64::NAN,
        })
    }

    pub fn in_use(&self) -> bool {
        !self.value.is_nan()
    }

    /// Whether a monitor of the plant watches it; what is breathed, and rates, are looked at by the clock.
    pub fn monitored(&self) -> bool {
        match self.name.aspect {
            Aspect::Inside | Aspect::Supply(_) | Aspect::Water => true,
            Aspect::Breathed | Aspect::Rate => false,
        }
    }

    /// Whether it keeps what is wanted, by the same row; its value may have moved.
    pub fn keeps(&self, wanted: &Wanted, truth: Truth) -> bool {
        self.in_use()
            && (self.name, self.truth, self.channel) == (wanted.name, truth, wanted.channel)
    }

    pub fn watched(&self) -> Watched {
        match (self.name.aspect, self.instrument) {
            (Aspect::Supply(line), _) => {
                Watched::Breath(line.of(self.name.compartment), Breath::Over)
            }
            (Aspect::Water, _) => Watched::ShortOfSea(self.name.compartment),
            (_, Some(id)) => Watched::Shown(id),
            (_, None) => Watched::True(self.name.compartment, self.name.quantity),
        }
    }

    /// The next crossing: upwards or downwards, and the value at which it is met.
    pub fn crossing(&self) -> (bool, f64) {
        match (self.name.bound, self.beyond) {
            (Bound::High, false) => (true, self.value + self.step),
            (Bound::High, true) => (false, self.value - self.dead_band),
            (Bound::Low, false) => (false, self.value - self.step),
            (Bound::Low, true) => (true, self.value + self.dead_band),
        }
    }

    /// Whether a value makes the next crossing.
    pub fn crossed_by(&self, value: f64) -> bool {
        let (above, at) = self.crossing();
        if above { value >= at } else { value <= at }
    }

    /// Out, or back: where it must stand for a time, that time begins.
    pub fn turn(&mut self, now_s: i64, plant: &Plant, sink: &mut impl Sink) {
        self.beyond = !self.beyond;
        if self.beyond {
            self.stand_from(now_s);
        } else {
            self.counts_at_s = None;
            self.let_go(now_s, plant, sink);
        }
    }

    /// It is beyond the value, and that counts from a second on.
    pub fn stand_from(&mut self, now_s: i64) {
        self.counts_at_s = Some(now_s + self.stands_s);
        self.since_s = now_s;
    }

    /// Whether an alarm is fitted for it and has cause to ring, once its delay is over.
    pub fn calls(&self, at: &Occupied) -> bool {
        self.beyond && self.alarm.is_some() && self.in_use() && self.here(at)
    }

    /// Whether it counts with people where they are.
    pub fn here(&self, at: &Occupied) -> bool {
        !self.manned || at.keeps(self.name.compartment)
    }

    /// When its alarm's delay is over, where it is beyond the value.
    pub fn rings_at_s(&self) -> i64 {
        self.since_s + self.alarm.map_or(0, |a| a.delay_s)
    }

    /// It is outside no longer.
    pub fn let_go(&mut self, now_s: i64, plant: &Plant, sink: &mut impl Sink) {
        self.tell_furthest(now_s, sink);
        if std::mem::take(&mut self.outside) {
            self.say(now_s, plant, sink);
        }
    }

    /// It counts as outside.
    pub fn count(&mut self, now_s: i64, plant: &Plant, sink: &mut impl Sink) {
        self.counts_at_s = None;
        self.outside = true;
        let value = self.reading(now_s, plant);
        self.furthest = (value, value);
        self.say(now_s, plant, sink);
    }

    /// Whether it is a limit, in force, that something counts as outside of.
    pub fn is_outside(&self) -> bool {
        self.outside && self.in_use() && is_limit(&self.name)
    }

    /// Looks how far out it is, and tells of it where that is more by the dead band than was told.
    pub fn follow_out(&mut self, now_s: i64, plant: &Plant, sink: &mut impl Sink) {
        if !self.is_outside() {
            return;
        }
        let value = self.reading(now_s, plant);
        let (furthest, told) = &mut self.furthest;
        *furthest = match self.name.bound {
            Bound::High => furthest.max(value),
            Bound::Low => furthest.min(value),
        };
        if (*furthest - *told).abs() >= self.dead_band {
            self.tell_furthest(now_s, sink);
        }
    }

    /// Tells how far out it has been, where that has not been told.
    pub fn tell_furthest(&mut self, at: i64, sink: &mut impl Sink) {
        let (furthest, told) = self.furthest;
        if !self.is_outside() || furthest == told {
            return;
        }
        self.furthest = (furthest, furthest);
        let what = What::LimitFurther {
            name: self.name,
            truth: self.truth,
            value: furthest,
        };
        sink.take(Entry { at, what });
    }

    /// The value that is watched, at a second.
    pub fn reading(&self, at: i64, plant: &Plant) -> f64 {
        let place = self.name.compartment;
        match (self.name.aspect, self.instrument) {
            (Aspect::Breathed | Aspect::Rate, _) => self.fed,
            // A line that nothing feeds has nothing over, and no less.
            (Aspect::Supply(_), _) => truly(plant, self.watched(), at).max(0.0),
            (Aspect::Water, _) => truly(plant, self.watched(), at),
            (Aspect::Inside, Some(id)) => plant.read(id, at),
            (Aspect::Inside, None) => plant.truth(place, self.name.quantity, at),
        }
    }

    /// Enters that a limit is outside or kept again.
    fn say(&self, at: i64, plant: &Plant, sink: &mut impl Sink) {
        if !is_limit(&self.name) {
            return;
        }
        let what = What::Limit {
            name: self.name,
            limit: self.value,
            value: self.reading(at, plant),
            truth: self.truth,
            outside: self.outside,
        };
        sink.take(Entry { at, what });
    }
}

/// Whether it is a limit. A set point of the panel or of the loop is for what an instrument indicates: it rings, and
/// is none.
fn is_limit(name: &LimitName) -> bool {
    match name.by {
        LimitBy::Row(_) | LimitBy::Rating => true,
        LimitBy::SetPoint | LimitBy::Panel(_) => false,
    }
}

/// A reading on the limit itself does not cross it: beyond by this share of it does.
const EDGE: f64 = 1e-9;

fn edge(quantity: Quantity, value: f64) -> f64 {
    EDGE * scale(quantity, value)
}

/// What a share of a limit is a share of: temperatures count in kelvin differences.
pub(super) fn scale(quantity: Quantity, value: f64) -> f64 {
    match quantity {
        Quantity::Temperature => 30.0,
        Quantity::Depth | Quantity::SeaDepth => 10.0,
        Quantity::PpO2
        | Quantity::FO2
        | Quantity::PpCo2
        | Quantity::Humidity
        | Quantity::GaugePressure => value.abs(),
    }
}

/// How far a true value must be beyond a limit to count: one step of the instrument that shows it, for less is
/// seen by nobody.
fn seen_from(steel: &Steel, name: &LimitName, value: f64) -> f64 {
    let step = steel
        .instrument(name.compartment, name.quantity, Channel::Primary)
        .map_or(0.0, |id| steel.instruments[id.index()].resolution);
    step.max(edge(name.quantity, value))
}

/// How far a value must come back before its limit is kept again (the dead band of IEC 62682): no finer than
/// the instrument tells, and not finer than class rules ask of analysers.
fn dead_band(steel: &Steel, name: &LimitName) -> f64 {
    let instrument = steel
        .instrument(name.compartment, name.quantity, Channel::Primary)
        .map(|id| &steel.instruments[id.index()]);
    let of_instrument = instrument.map_or(0.0, |i| i.accuracy.max(i.resolution));
    let least = match name.quantity {
        Quantity::PpO2 => OXYGEN_CLASS_BAR,
        Quantity::PpCo2 => CO2_CLASS_BAR,
        Quantity::FO2 => OXYGEN_CLASS_SHARE,
        Quantity::Depth | Quantity::SeaDepth | Quantity::Temperature | Quantity::Humidity => 0.0,
        Quantity::GaugePressure => SUPPLY_SWITCH_BAR,
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

/// By how much more a pressure switch of a supply goes back than it came, bar (house figure).
const SUPPLY_SWITCH_BAR: f64 = 0.5;

/// How an alarm of the loop is set.
fn of_the_loop(set_point: f64) -> AlarmSetting {
    AlarmSetting {
        set_point,
        delay_s: 0,
        sounds: [SoundsAt::DiveControl].into_iter().collect(),
        latches: false,
    }
}

/// How the alarm is set that is fitted for a limit, or that is one of the panel's own; none where none is.
fn fitted(steel: &Steel, wanted: &Wanted) -> Option<AlarmSetting> {
    let alarm = match wanted.name.by {
        LimitBy::Panel(i) => steel.alarms.get(usize::from(i)),
        LimitBy::Row(_) | LimitBy::Rating => steel.alarms.iter().find(|a| a.rings_at(&wanted.name)),
        LimitBy::SetPoint => return Some(of_the_loop(wanted.indicated)),
    }?;
    Some(AlarmSetting {
        set_point: wanted.indicated,
        delay_s: alarm.delay_s.unwrap_or(wanted.stands_s),
        sounds: alarm.sounds,
        latches: alarm.latches,
    })
}
