//! The alarm panel: of what is indicated beyond a set point, what is fitted rings after its delay, and is
//! acknowledged by whoever sits where it sounds. Limits are judged apart: no verdict depends on the panel.
//!
//! The states are those of IEC 62682 and their transitions those of OPC UA Part 9: that the cause stands and that
//! somebody has acknowledged it are two things.

use super::super::random::{Draw, Streams};
use super::kept::{Kept, Wanted};
use super::people::Occupied;
use deepstay_core::record::{
    AlarmOf, AlarmSetting, AlarmState, Bound, Entry, LimitBy, LimitName, Sink, SoundsAt, What,
};
use deepstay_core::units::*;
use deepstay_plant::{Alarm, Plant, SetPoint, Steel};
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};

/// How long a person at the desk takes to acknowledge one alarm, s (house figures; no measured times were found).
const ACKNOWLEDGED_IN_S: (f64, f64) = (5.0, 30.0);

/// An alarm that rings, or has rung and waits to be acknowledged.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
struct Rung {
    name: LimitName,
    setting: AlarmSetting,
    /// The last value told.
    value: f64,
    /// Its cause stands.
    active: bool,
    acknowledged: bool,
    /// When somebody will have acknowledged it; none where nobody hears it.
    acknowledged_at_s: Option<i64>,
}

/// The panel.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct AlarmPanel {
    /// Whether the automatic watch sits at saturation control, and at dive control.
    sat_at: [bool; 2],
    rung: Vec<Rung>,
    /// When the person at saturation control, and the one at dive control, has a hand free.
    free_s: [i64; 2],
    takes: Draw,
}

impl AlarmPanel {
    pub fn new(scenario: &Scenario, sat_at: [bool; 2]) -> AlarmPanel {
        AlarmPanel {
            sat_at,
            rung: Vec::new(),
            free_s: [0; 2],
            takes: Streams::new(scenario.seed).named("time to acknowledge an alarm", 0),
        }
    }

    /// Others sit at the desks. What nobody hears any more nobody comes to.
    pub fn sit(&mut self, sat_at: [bool; 2]) {
        self.sat_at = sat_at;
        for rung in &mut self.rung {
            let heard = hears(sat_at, rung.setting).is_some();
            rung.acknowledged_at_s = rung.acknowledged_at_s.filter(|_| heard);
        }
    }

    /// Whether nothing rings, or has rung and waits.
    pub fn is_silent(&self) -> bool {
        self.rung.is_empty()
    }

    /// The next second at which something will have stood for its delay, or will be acknowledged.
    pub fn next_s(&self, kept: &[Kept], at: &Occupied) -> i64 {
        let rings = kept
            .iter()
            .filter(|k| k.calls(at) && !self.rings(&k.name))
            .map(Kept::rings_at_s);
        let acknowledged = self.waiting().filter_map(|r| r.acknowledged_at_s);
        rings.chain(acknowledged).min().unwrap_or(i64::MAX)
    }

    fn rings(&self, name: &LimitName) -> bool {
        self.rung.iter().any(|r| r.active && r.name == *name)
    }

    fn waiting(&self) -> impl Iterator<Item = &Rung> {
        self.rung.iter().filter(|r| !r.acknowledged)
    }

    /// Looks at what is indicated: what returns, what rings, what is acknowledged.
    pub fn look(
        &mut self,
        kept: &[Kept],
        at: &Occupied,
        (now_s, plant): (i64, &Plant),
        sink: &mut impl Sink,
    ) {
        for rung in self.rung.iter_mut().filter(|r| r.active) {
            // Of two instruments with one set point either may have cause to ring.
            let mut mine = kept
                .iter()
                .filter(|k| k.alarm.is_some() && k.name == rung.name);
            let calls = mine.clone().find(|k| k.calls(at));
            if let Some(mine) = calls.or_else(|| mine.next()) {
                rung.value = mine.reading(now_s, plant);
            }
            if calls.is_none() {
                rung.active = false;
                rung.tell(now_s, sink);
            }
        }
        for k in kept {
            if k.calls(at) && now_s >= k.rings_at_s() && !self.rings(&k.name) {
                self.ring(k, now_s, plant, sink);
            }
        }
        let due =
            |r: &&mut Rung| !r.acknowledged && r.acknowledged_at_s.is_some_and(|t| t <= now_s);
        for rung in self.rung.iter_mut().filter(due) {
            rung.acknowledged = true;
            rung.tell(now_s, sink);
        }
        self.rung.retain(|r| r.active || !r.acknowledged);
    }

    fn ring(&mut self, kept: &Kept, now_s: i64, plant: &Plant, sink: &mut impl Sink) {
        let Some(setting) = kept.alarm else {
            return;
        };
        let setting = AlarmSetting {
            set_point: kept.value,
            ..setting
        };
        // One that rings again before anybody came to it waits for the same hand.
        let before = self.rung.iter().position(|r| r.name == kept.name);
        let before = before.map(|i| self.rung.remove(i));
        let rung = Rung {
            name: kept.name,
            setting,
            value: kept.reading(now_s, plant),
            active: true,
            acknowledged: false,
            acknowledged_at_s: match before {
                Some(before) => before.acknowledged_at_s,
                None => self.comes_at(setting, now_s),
            },
        };
        rung.tell(now_s, sink);
        self.rung.push(rung);
    }

    /// When the person who hears an alarm will have acknowledged it: one after the other.
    fn comes_at(&mut self, setting: AlarmSetting, now_s: i64) -> Option<i64> {
        let desk = hears(self.sat_at, setting)?;
        let (least, most) = ACKNOWLEDGED_IN_S;
        let takes_s = self.takes.between(least, most + 1.0) as i64;
        self.free_s[desk] = self.free_s[desk].max(now_s) + takes_s;
        Some(self.free_s[desk])
    }
}

impl Rung {
    fn tell(&self, at: i64, sink: &mut impl Sink) {
        let state = match (self.active, self.acknowledged) {
            (true, false) => AlarmState::Unacknowledged,
            (true, true) => AlarmState::Acknowledged,
            (false, false) => AlarmState::ReturnedUnacknowledged,
            (false, true) => AlarmState::Normal,
        };
        let what = What::Alarm {
            name: self.name,
            state,
            value: self.value,
            setting: self.setting,
        };
        sink.take(Entry { at, what });
    }
}

/// The desk at which somebody hears an alarm.
fn hears(sat_at: [bool; 2], setting: AlarmSetting) -> Option<usize> {
    let desks = [SoundsAt::SaturationControl, SoundsAt::DiveControl];
    (0..desks.len()).find(|i| sat_at[*i] && setting.sounds.at(desks[*i]))
}

/// The alarms of a vessel that have set points of their own, of some quantities. Those of a depth deviation are off
/// the shallowest and the deepest that it is to be; where that is not given yet they are the deviation alone.
pub(super) fn own(
    steel: &Steel,
    at: CompartmentId,
    between_msw: Option<(f64, f64)>,
    of: impl Fn(AlarmOf) -> bool,
) -> Vec<Wanted> {
    let wanted = |(i, alarm): (u16, &Alarm)| {
        let SetPoint::Own { value, severity } = alarm.set else {
            return None;
        };
        let value = match (alarm.of, alarm.bound, between_msw) {
            (AlarmOf::DepthDeviation, Bound::High, Some((_, deep_msw))) => deep_msw + value,
            (AlarmOf::DepthDeviation, Bound::Low, Some((shallow_msw, _))) => shallow_msw - value,
            (AlarmOf::DepthRate, Bound::Low, _) => -value,
            _ => value,
        };
        Some(Wanted {
            name: LimitName {
                compartment: at,
                quantity: alarm.of.quantity(),
                aspect: alarm.of.aspect(),
                bound: alarm.bound,
                severity,
                by: LimitBy::Panel(i),
            },
            stands_s: 0,
            truly: value,
            indicated: value,
            manned: alarm.of != AlarmOf::Depth,
            listed: false,
            channel: Channel::Primary,
        })
    };
    (0u16..)
        .zip(&steel.alarms)
        .filter(|(_, a)| a.at == at && of(a.of))
        .filter_map(wanted)
        .collect()
}

/// What may ring of a vessel's gas and climate.
pub(super) fn of_atmosphere(of: AlarmOf) -> bool {
    match of {
        AlarmOf::PpO2 | AlarmOf::PpCo2 | AlarmOf::Temperature | AlarmOf::Humidity => true,
        AlarmOf::DepthDeviation | AlarmOf::DepthRate | AlarmOf::Depth => false,
    }
}
