//! The alarm panel: of what is indicated beyond a set point, what is fitted rings after its delay, and is
//! acknowledged by whoever sits where it sounds. Limits are judged apart: no verdict depends on the panel.
//!
//! The states are those of IEC 62682 and their transitions those of OPC UA Part 9: that the cause stands and that
//! somebody has acknowledged it are two things.

use super::super::random::{Draw, Streams};
use super::kept::{Kept, Wanted};
use super::people::Occupied;
use deepstay_core::record::{
    AlarmDeed, AlarmOf, AlarmSetting, AlarmState, Bound, Entry, LimitBy, LimitName, Refused, Sink,
    SoundsAt, Station, What,
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
    /// When it was raised, s.
    raised_s: i64,
    /// Its cause stands.
    active: bool,
    acknowledged: bool,
    /// Its cause is gone, and it waits to be reset.
    latched: bool,
    /// When somebody will have acknowledged it; none where nobody hears it.
    acknowledged_at_s: Option<i64>,
}

/// Longest time that an alarm may be shelved for, s: no longer than its reason is remembered (house figure; what
/// OPC UA Part 9 asks is that there is a bound).
pub const SHELVED_MOST_S: i64 = 2 * 3600;

/// An alarm set aside.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Shelved {
    name: LimitName,
    /// Until when, s; none where it is until its cause is gone.
    until_s: Option<i64>,
}

/// An alarm as the panel shows it at a second.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct AlarmNow {
    /// Which.
    pub name: LimitName,
    /// Its state.
    pub state: AlarmState,
    /// When it was raised, s.
    pub raised_s: i64,
    /// The value last told, in the unit of its quantity.
    pub value: f64,
    /// How it is set.
    pub setting: AlarmSetting,
    /// It is set aside.
    pub shelved: bool,
    /// Until when it is set aside, s; none where it is until its cause is gone.
    pub shelved_until_s: Option<i64>,
    /// It is kept from showing.
    pub suppressed: bool,
}

impl AlarmNow {
    /// Whether it is on the list of what needs somebody: neither set aside nor suppressed.
    pub fn shows(&self) -> bool {
        !self.shelved && !self.suppressed
    }
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
    shelved: Vec<Shelved>,
    suppressed: Vec<LimitName>,
    /// Up to when what was raised is silenced, at saturation control and at dive control, s.
    silenced_s: [i64; 2],
}

impl AlarmPanel {
    pub fn new(scenario: &Scenario, sat_at: [bool; 2]) -> AlarmPanel {
        AlarmPanel {
            sat_at,
            rung: Vec::new(),
            free_s: [0; 2],
            shelved: Vec::new(),
            suppressed: Vec::new(),
            silenced_s: [-1; 2],
            takes: Streams::new(scenario.seed).named("time to acknowledge an alarm", 0),
        }
    }

    /// Others sit at the desks. What nobody hears any more nobody comes to; what waits is come to by whoever hears
    /// it now.
    pub fn sit(&mut self, sat_at: [bool; 2], now_s: i64) {
        self.sat_at = sat_at;
        for k in 0..self.rung.len() {
            let rung = self.rung[k];
            let at_s = match (hears(sat_at, rung.setting), rung.acknowledged_at_s) {
                (None, _) => None,
                (Some(_), Some(at_s)) => Some(at_s),
                (Some(_), None) if rung.acknowledged => None,
                (Some(_), None) => self.comes_at(rung.setting, now_s),
            };
            self.rung[k].acknowledged_at_s = at_s;
        }
    }

    /// The alarms, the longest standing first.
    pub fn now(&self) -> impl Iterator<Item = AlarmNow> {
        self.rung.iter().map(|r| {
            let shelved = self.shelved.iter().find(|s| s.name == r.name);
            AlarmNow {
                name: r.name,
                state: r.state(),
                raised_s: r.raised_s,
                value: r.value,
                setting: r.setting,
                shelved: shelved.is_some(),
                shelved_until_s: shelved.and_then(|s| s.until_s),
                suppressed: self.suppressed.contains(&r.name),
            }
        })
    }

    /// What is set aside though it does not ring, with until when.
    pub fn shelved_in_peace(&self) -> impl Iterator<Item = (LimitName, Option<i64>)> {
        let quiet = |s: &&Shelved| !self.rung.iter().any(|r| r.name == s.name);
        self.shelved
            .iter()
            .filter(quiet)
            .map(|s| (s.name, s.until_s))
    }

    /// Whether the sounder of a station sounds.
    pub fn sounds(&self, station: Station) -> bool {
        desk(station).is_some_and(|(i, place)| {
            self.now().any(|a| {
                a.state == AlarmState::Unacknowledged
                    && a.shows()
                    && a.setting.sounds.at(place)
                    && a.raised_s > self.silenced_s[i]
            })
        })
    }

    /// The sounder of a station is silenced for all that was raised so far.
    pub fn silence(&mut self, station: Station, now_s: i64, sink: &mut impl Sink) {
        if let Some((i, _)) = desk(station) {
            self.silenced_s[i] = now_s;
            let what = What::Silenced { station };
            sink.take(Entry { at: now_s, what });
        }
    }

    /// Whatever sounds at a station, and nobody has acknowledged, is acknowledged.
    pub fn acknowledge_all(&mut self, station: Station, now_s: i64, sink: &mut impl Sink) {
        let Some((_, place)) = desk(station) else {
            return;
        };
        let waits: Vec<LimitName> = self
            .now()
            .filter(|a| a.state.waits() && a.shows() && a.setting.sounds.at(place))
            .map(|a| a.name)
            .collect();
        for name in waits {
            self.acknowledge(station, name, now_s, sink);
        }
    }

    fn acknowledge(&mut self, station: Station, name: LimitName, at: i64, sink: &mut impl Sink) {
        let deed = AlarmDeed::Acknowledge;
        let what = What::AlarmActed {
            station,
            name,
            deed,
        };
        sink.take(Entry { at, what });
        let mine = |r: &&mut Rung| r.name == name && !r.acknowledged;
        for rung in self.rung.iter_mut().filter(mine) {
            rung.acknowledge(at, sink);
        }
        self.rung.retain(Rung::stays);
    }

    /// Somebody at a station does something about an alarm that is fitted, or about one that waits.
    pub fn deed(
        &mut self,
        (station, name, deed): (Station, LimitName, AlarmDeed),
        kept: &[Kept],
        now_s: i64,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let rung = self.rung.iter().position(|r| r.name == name);
        let fitted = kept.iter().any(|k| k.name == name && k.alarm.is_some());
        let shelved = self.shelved.iter().position(|s| s.name == name);
        let suppressed = self.suppressed.iter().position(|n| *n == name);
        match deed {
            AlarmDeed::Acknowledge => {
                let waits = rung.is_some_and(|i| !self.rung[i].acknowledged);
                if !waits {
                    return Err(Refused::NoSuchThing);
                }
                self.acknowledge(station, name, now_s, sink);
                return Ok(());
            }
            AlarmDeed::Shelve { for_s } => {
                if rung.is_none() && !fitted {
                    return Err(Refused::NoSuchThing);
                }
                if for_s.is_some_and(|s| !(1..=SHELVED_MOST_S).contains(&s)) {
                    return Err(Refused::OutOfRange);
                }
                // One-shot shelving lasts until its cause is gone: one that has none would never end.
                if for_s.is_none() && !rung.is_some_and(|i| self.rung[i].active) {
                    return Err(Refused::NoSuchThing);
                }
                self.shelved.retain(|s| s.name != name);
                let until_s = for_s.map(|s| now_s + s);
                self.shelved.push(Shelved { name, until_s });
            }
            AlarmDeed::Unshelve => {
                self.shelved.remove(shelved.ok_or(Refused::NoSuchThing)?);
            }
            AlarmDeed::Suppress => {
                if rung.is_none() && !fitted {
                    return Err(Refused::NoSuchThing);
                }
                if suppressed.is_none() {
                    self.suppressed.push(name);
                }
            }
            AlarmDeed::Restore => {
                self.suppressed
                    .remove(suppressed.ok_or(Refused::NoSuchThing)?);
            }
            AlarmDeed::Reset => {
                let i = rung.ok_or(Refused::NoSuchThing)?;
                let rung = &mut self.rung[i];
                if rung.active {
                    return Err(Refused::CauseStands);
                }
                if !rung.latched || !rung.acknowledged {
                    return Err(Refused::NoSuchThing);
                }
                rung.latched = false;
                rung.tell(now_s, sink);
                self.rung.retain(Rung::stays);
            }
        }
        let what = What::AlarmActed {
            station,
            name,
            deed,
        };
        sink.take(Entry { at: now_s, what });
        Ok(())
    }

    /// Shelving ends with its time.
    fn end_shelving(&mut self, now_s: i64, sink: &mut impl Sink) {
        let over = |s: &Shelved| s.until_s.is_some_and(|t| t <= now_s);
        for shelved in self.shelved.iter().filter(|s| over(s)) {
            let what = What::AlarmUnshelved { name: shelved.name };
            sink.take(Entry { at: now_s, what });
        }
        self.shelved.retain(|s| !over(s));
    }

    /// Whether nothing rings, or has rung and waits.
    pub fn is_silent(&self) -> bool {
        self.rung.is_empty() && self.shelved.is_empty()
    }

    /// The next second at which something will have stood for its delay, or will be acknowledged.
    pub fn next_s(&self, kept: &[Kept], at: &Occupied) -> i64 {
        let rings = kept
            .iter()
            .filter(|k| k.calls(at) && !self.rings(&k.name))
            .map(Kept::rings_at_s);
        let acknowledged = self.waiting().filter_map(|r| r.acknowledged_at_s);
        let unshelved = self.shelved.iter().filter_map(|s| s.until_s);
        let all = rings.chain(acknowledged).chain(unshelved);
        all.min().unwrap_or(i64::MAX)
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
        self.end_shelving(now_s, sink);
        let mut gone = Vec::new();
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
                rung.latched = rung.setting.latches;
                rung.tell(now_s, sink);
                gone.push(rung.name);
            }
        }
        let one_shot = |s: &Shelved| s.until_s.is_none() && gone.contains(&s.name);
        for shelved in self.shelved.iter().filter(|s| one_shot(s)) {
            let what = What::AlarmUnshelved { name: shelved.name };
            sink.take(Entry { at: now_s, what });
        }
        self.shelved.retain(|s| !one_shot(s));
        for k in kept {
            if k.calls(at) && now_s >= k.rings_at_s() && !self.rings(&k.name) {
                self.ring(k, now_s, plant, sink);
            }
        }
        let due =
            |r: &&mut Rung| !r.acknowledged && r.acknowledged_at_s.is_some_and(|t| t <= now_s);
        for rung in self.rung.iter_mut().filter(due) {
            rung.acknowledge(now_s, sink);
        }
        self.rung.retain(Rung::stays);
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
            raised_s: now_s,
            active: true,
            acknowledged: false,
            latched: false,
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
    fn state(&self) -> AlarmState {
        match (self.active, self.acknowledged, self.latched) {
            (true, false, _) => AlarmState::Unacknowledged,
            (true, true, _) => AlarmState::Acknowledged,
            (false, false, _) => AlarmState::ReturnedUnacknowledged,
            (false, true, true) => AlarmState::Latched,
            (false, true, false) => AlarmState::Normal,
        }
    }

    /// Whether it is still on the panel.
    fn stays(&self) -> bool {
        self.state() != AlarmState::Normal
    }

    fn acknowledge(&mut self, at: i64, sink: &mut impl Sink) {
        self.acknowledged = true;
        self.acknowledged_at_s = None;
        self.tell(at, sink);
    }

    fn tell(&self, at: i64, sink: &mut impl Sink) {
        let what = What::Alarm {
            name: self.name,
            state: self.state(),
            value: self.value,
            setting: self.setting,
        };
        sink.take(Entry { at, what });
    }
}

/// A station's desk, and where on the panel it sounds.
fn desk(station: Station) -> Option<(usize, SoundsAt)> {
    match station {
        Station::Saturation => Some((0, SoundsAt::SaturationControl)),
        Station::Dive => Some((1, SoundsAt::DiveControl)),
        Station::Student | Station::Script => None,
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
        AlarmOf::DepthDeviation | AlarmOf::DepthRate | AlarmOf::Depth | AlarmOf::Supply(_) => false,
    }
}
