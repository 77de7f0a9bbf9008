//! Alarms as a list with their lives (raised, acknowledged, back to normal), and how often they came.
//!
//! The states are those of IEC 62682, the transitions between them those of OPC UA Part 9. The rates are the ones that the published alarm benchmarks
//! speak of: per 10 minutes, per hour, per day, floods, standing and stale alarms.

use super::kept::Kept;
use super::{AlarmSetting, AlarmState, Entry, LimitName, Severity, Sink, What};
use std::collections::BTreeMap;

/// Most alarms kept one by one; those beyond are counted only.
const MOST: usize = 100_000;
/// The window that the benchmarks count in, s.
const WINDOW_S: i64 = 600;
/// A flood begins at this many new alarms in a window (ISA-18.2, recalled).
const FLOOD_FROM: usize = 10;
/// A flood is over below this many (ISA-18.2, recalled).
const FLOOD_UNDER: usize = 5;
/// An alarm standing longer is stale, s.
const STALE_S: i64 = 86_400;

/// One alarm from first to last.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AlarmLife {
    /// What it speaks of.
    pub name: LimitName,
    /// When it was raised, s.
    pub raised_s: i64,
    /// When it was acknowledged, s.
    pub acknowledged_s: Option<i64>,
    /// When its cause was gone, acknowledged or not, s.
    pub returned_s: Option<i64>,
    /// Value when raised, in the unit of the quantity.
    pub value: f64,
    /// How it was set.
    pub setting: AlarmSetting,
}

impl AlarmLife {
    /// How long it stood, s, up to the end of the run.
    pub fn stood_s(&self, end_s: i64) -> i64 {
        self.returned_s.unwrap_or(end_s) - self.raised_s
    }

    /// How grave.
    pub fn severity(&self) -> Severity {
        self.name.severity
    }
}

/// How often alarms came over a run.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AlarmRates {
    /// Alarms raised.
    pub count: u64,
    /// How many of each severity, the gravest first ([`Severity::ALL`]).
    pub by_severity: [u64; 3],
    /// Mean per 10 minutes.
    pub per_ten_minutes: f64,
    /// Mean per day.
    pub per_day: f64,
    /// Most in one 10-minute window of the clock.
    pub most_in_ten_minutes: u64,
    /// Most in one hour of the clock.
    pub most_in_an_hour: u64,
    /// Share of the 10-minute windows with more than ten, 0 to 1.
    pub windows_over_ten: f64,
    /// Floods: from ten new alarms in 10 minutes until fewer than five.
    pub floods: u64,
    /// Time in flood, s.
    pub flood_s: i64,
    /// Mean number standing.
    pub mean_standing: f64,
    /// Most standing at once.
    pub most_standing: u64,
    /// Alarms that stood longer than a day.
    pub stale: u64,
    /// Still standing at the end.
    pub standing_at_end: u64,
}

/// The sink that follows alarms.
#[derive(Clone, Debug, Default)]
pub struct Alarms {
    list: Kept<AlarmLife, MOST>,
    open: BTreeMap<LimitName, Option<usize>>,
    by_severity: [u64; 3],
}

impl Alarms {
    /// Every alarm kept, in order of being raised.
    pub fn list(&self) -> &[AlarmLife] {
        &self.list
    }

    /// How many were raised in all, those beyond the list counted too.
    pub fn count(&self) -> u64 {
        self.by_severity.iter().sum()
    }

    /// Alarms that were counted and not kept one by one, because there were too many.
    pub fn left_out(&self) -> u64 {
        self.list.beyond()
    }

    /// Rates over a run from its first second to `end_s`.
    pub fn rates(&self, from_s: i64, end_s: i64) -> AlarmRates {
        let end_s = end_s.max(from_s + 1);
        let length_s = end_s - from_s;
        let raised: Vec<i64> = self.list.iter().map(|a| a.raised_s).collect();
        let (floods, flood_s) = floods(&raised, end_s);
        let count = self.count();
        let windows = length_s.div_euclid(WINDOW_S) + 1;
        let by_window = tally(&raised, WINDOW_S);
        let over = by_window.iter().filter(|n| **n > 10).count();
        let stood: i64 = self.list.iter().map(|a| a.stood_s(end_s)).sum();
        AlarmRates {
            count,
            by_severity: self.by_severity,
            per_ten_minutes: count as f64 * WINDOW_S as f64 / length_s as f64,
            per_day: count as f64 * 86_400.0 / length_s as f64,
            most_in_ten_minutes: by_window.into_iter().max().unwrap_or(0),
            most_in_an_hour: tally(&raised, 3600).into_iter().max().unwrap_or(0),
            windows_over_ten: over as f64 / windows as f64,
            floods,
            flood_s,
            mean_standing: stood as f64 / length_s as f64,
            most_standing: most_standing(&self.list),
            stale: self
                .list
                .iter()
                .filter(|a| a.stood_s(end_s) > STALE_S)
                .count() as u64,
            standing_at_end: self.list.iter().filter(|a| a.returned_s.is_none()).count() as u64,
        }
    }

    fn change(
        &mut self,
        at: i64,
        name: LimitName,
        state: AlarmState,
        (value, setting): (f64, AlarmSetting),
    ) {
        let returned = |i: usize, list: &[AlarmLife]| list[i].returned_s.is_some();
        match (state, self.open.get(&name).copied()) {
            (AlarmState::Unacknowledged, Some(Some(i))) if !returned(i, &self.list) => {}
            // One that rings again before anybody has acknowledged it is raised a second time.
            (AlarmState::Unacknowledged, _) => {
                for (severity, times) in Severity::ALL.iter().zip(&mut self.by_severity) {
                    *times += u64::from(*severity == name.severity);
                }
                let kept = self.list.keep(AlarmLife {
                    name,
                    raised_s: at,
                    acknowledged_s: None,
                    returned_s: None,
                    value,
                    setting,
                });
                self.open.insert(name, kept);
            }
            (AlarmState::Acknowledged, Some(Some(i))) => {
                self.list[i].acknowledged_s.get_or_insert(at);
            }
            (AlarmState::ReturnedUnacknowledged, Some(Some(i))) => {
                self.list[i].returned_s = Some(at);
            }
            (AlarmState::Latched, Some(Some(i))) => {
                self.list[i].acknowledged_s.get_or_insert(at);
                self.list[i].returned_s.get_or_insert(at);
            }
            (AlarmState::Normal, Some(kept)) => {
                self.open.remove(&name);
                if let Some(i) = kept {
                    match self.list[i].returned_s {
                        Some(_) => {
                            self.list[i].acknowledged_s.get_or_insert(at);
                        }
                        None => self.list[i].returned_s = Some(at),
                    }
                }
            }
            (
                AlarmState::Acknowledged
                | AlarmState::ReturnedUnacknowledged
                | AlarmState::Latched
                | AlarmState::Normal,
                _,
            ) => {}
        }
    }
}

impl Sink for Alarms {
    fn take(&mut self, entry: Entry) {
        if let What::Alarm {
            name,
            state,
            value,
            setting,
        } = entry.what
        {
            self.change(entry.at, name, state, (value, setting));
        }
    }
}

/// Counts per window of the clock; empty windows are left out.
fn tally(raised: &[i64], window_s: i64) -> Vec<u64> {
    let mut counts: BTreeMap<i64, u64> = BTreeMap::new();
    for t in raised {
        *counts.entry(t.div_euclid(window_s)).or_default() += 1;
    }
    counts.into_values().collect()
}

/// Number of floods and seconds in flood, by a window that slides.
fn floods(raised: &[i64], end_s: i64) -> (u64, i64) {
    let (mut count, mut seconds, mut since) = (0, 0, None);
    let mut first = 0;
    for (i, &t) in raised.iter().enumerate() {
        while raised[first] <= t - WINDOW_S {
            let left = raised[first] + WINDOW_S;
            first += 1;
            if let Some(from) = since
                && i - first < FLOOD_UNDER
            {
                seconds += left - from;
                since = None;
            }
        }
        if since.is_none() && i + 1 - first >= FLOOD_FROM {
            since = Some(t);
            count += 1;
        }
    }
    if let Some(from) = since {
        let over = raised[raised.len() - FLOOD_UNDER.min(raised.len())] + WINDOW_S;
        seconds += over.min(end_s).max(from) - from;
    }
    (count, seconds)
}

fn most_standing(list: &[AlarmLife]) -> u64 {
    let mut changes: Vec<(i64, i64)> = list.iter().map(|a| (a.raised_s, 1)).collect();
    changes.extend(list.iter().filter_map(|a| a.returned_s.map(|t| (t, -1))));
    changes.sort_unstable();
    let (mut now, mut most) = (0i64, 0i64);
    for (_, by) in changes {
        now += by;
        most = most.max(now);
    }
    most.max(0) as u64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{Aspect, Bound, LimitBy, SoundsAt};
    use crate::units::{CompartmentId, Quantity};

    fn alarm(at: i64, compartment: u8, state: AlarmState) -> Entry {
        let name = LimitName {
            compartment: CompartmentId(compartment),
            quantity: Quantity::PpCo2,
            aspect: Aspect::Inside,
            bound: Bound::High,
            severity: Severity::Limit,
            by: LimitBy::Panel(0),
        };
        let what = What::Alarm {
            name,
            state,
            value: 0.006,
            setting: AlarmSetting {
                set_point: 0.005,
                delay_s: 0,
                sounds: [SoundsAt::SaturationControl].into_iter().collect(),
                latches: false,
            },
        };
        Entry { at, what }
    }

    #[test]
    fn an_alarm_lives_from_raised_to_normal() {
        let mut alarms = Alarms::default();
        for e in [
            alarm(10, 0, AlarmState::Unacknowledged),
            alarm(12, 0, AlarmState::Unacknowledged),
            alarm(40, 0, AlarmState::Acknowledged),
            alarm(100, 0, AlarmState::Normal),
            alarm(200, 0, AlarmState::Unacknowledged),
        ] {
            alarms.take(e);
        }
        let [first, second] = alarms.list() else {
            panic!("two alarms")
        };
        assert_eq!(
            (first.acknowledged_s, first.returned_s),
            (Some(40), Some(100))
        );
        assert_eq!((second.raised_s, second.returned_s), (200, None));
        let rates = alarms.rates(0, 86_400);
        assert_eq!(
            (
                rates.count,
                rates.per_day,
                rates.standing_at_end,
                rates.most_standing
            ),
            (2, 2.0, 1, 1)
        );
    }

    /// OPC UA Part 9, the states of an alarm: active and acknowledged are two things, and one whose cause is gone
    /// stays until it is acknowledged.
    #[test]
    fn what_returns_unacknowledged_is_acknowledged_after_it() {
        let mut alarms = Alarms::default();
        for e in [
            alarm(10, 0, AlarmState::Unacknowledged),
            alarm(15, 0, AlarmState::ReturnedUnacknowledged),
            alarm(30, 0, AlarmState::Normal),
            alarm(50, 0, AlarmState::Unacknowledged),
            alarm(55, 0, AlarmState::ReturnedUnacknowledged),
            alarm(60, 0, AlarmState::Unacknowledged),
            alarm(70, 0, AlarmState::Acknowledged),
            alarm(90, 0, AlarmState::Normal),
        ] {
            alarms.take(e);
        }
        let lives: Vec<_> = alarms
            .list()
            .iter()
            .map(|a| (a.raised_s, a.acknowledged_s, a.returned_s))
            .collect();
        let wanted = [
            (10, Some(30), Some(15)),
            (50, None, Some(55)),
            (60, Some(70), Some(90)),
        ];
        assert_eq!(lives, wanted);
    }

    #[test]
    fn one_alarm_in_ten_minutes_is_144_a_day() {
        // IEC 62682:2014 gives both figures (second-hand).
        let mut alarms = Alarms::default();
        for i in 0..144 {
            alarms.take(alarm(i * 600, 0, AlarmState::Unacknowledged));
            alarms.take(alarm(i * 600 + 60, 0, AlarmState::Normal));
        }
        let rates = alarms.rates(0, 86_400);
        assert_eq!((rates.per_ten_minutes, rates.per_day), (1.0, 144.0));
        assert_eq!((rates.floods, rates.most_in_an_hour), (0, 6));
    }

    #[test]
    fn a_flood_begins_at_ten_and_ends_under_five() {
        let raised: Vec<i64> = (0..12).map(|i| i * 10).collect();
        // The tenth comes at 90 s; of twelve, four are left in the window when the eighth leaves it
        // (raised at 70, leaving at 670).
        assert_eq!(floods(&raised, 10_000), (1, 670 - 90));
        let mut later = raised.clone();
        later.push(5000);
        assert_eq!(floods(&later, 10_000), (1, 670 - 90));
        assert_eq!(floods(&raised[..9], 10_000), (0, 0));
    }
}
