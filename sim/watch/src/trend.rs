//! What each instrument has shown, once a minute, for as long as a trend reaches back.

use deepstay_core::units::{InstrumentId, Quantity};
use deepstay_job::Indicated;
use serde::{Deserialize, Serialize};
use std::collections::VecDeque;

/// Seconds between two samples.
const EVERY_S: i64 = 60;
/// How far back a trend reaches, s.
const KEPT_S: i64 = 24 * 3600;

/// Quantities that a trend goes through on a screen.
pub const TRENDS: [Quantity; 5] = [
    Quantity::PpO2,
    Quantity::Depth,
    Quantity::PpCo2,
    Quantity::Temperature,
    Quantity::Humidity,
];
/// How long a trend on a screen may be, s.
pub const SPANS_S: [i64; 5] = [1800, 7200, 6 * 3600, 12 * 3600, KEPT_S];

/// The samples.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Trend {
    kept_s: i64,
    rows: VecDeque<(i64, Vec<f32>)>,
}

impl Default for Trend {
    fn default() -> Trend {
        Trend {
            kept_s: KEPT_S,
            rows: VecDeque::new(),
        }
    }
}

impl Trend {
    /// Samples are kept however long ago they were taken.
    pub(crate) fn keep_whole(&mut self) {
        self.kept_s = i64::MAX / 2;
    }

    /// The next second after `now_s` at which a sample is taken on the way to another second: none that no trend would
    /// reach back to from there.
    pub(crate) fn next_sample_s(&self, now_s: i64, to_s: i64) -> i64 {
        let from_s = (now_s + 1).max(to_s.saturating_sub(self.kept_s));
        (from_s + EVERY_S - 1).div_euclid(EVERY_S) * EVERY_S
    }

    /// Keeps what the instruments show.
    pub fn look(&mut self, seen: &Indicated, instruments: usize) {
        let mut row = vec![f32::NAN; instruments];
        for shown in seen.vessels.iter().flat_map(|v| &v.readings) {
            let own = shown.value.filter(|_| shown.turned_to.is_none());
            if let (Some(cell), Some(value)) = (row.get_mut(shown.instrument.index()), own) {
                *cell = value as f32;
            }
        }
        self.rows.push_back((seen.at_s, row));
        while self
            .rows
            .front()
            .is_some_and(|(t, _)| *t < seen.at_s - self.kept_s)
        {
            self.rows.pop_front();
        }
    }

    /// Forgets what was seen after a second.
    pub(crate) fn back_to(&mut self, at_s: i64) {
        while self.rows.back().is_some_and(|(t, _)| *t > at_s) {
            self.rows.pop_back();
        }
    }

    /// What an instrument showed from a second on: second and value.
    pub fn of(&self, instrument: InstrumentId, from_s: i64) -> impl Iterator<Item = (i64, f32)> {
        let first = self.rows.partition_point(|(t, _)| *t < from_s);
        let rows = self.rows.iter().skip(first);
        rows.filter_map(move |(t, row)| {
            let value = *row.get(instrument.index())?;
            value.is_finite().then_some((*t, value))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn samples_fall_on_minutes_and_only_where_a_trend_reaches() {
        let mut trend = Trend::default();
        assert_eq!(trend.next_sample_s(0, 100), 60);
        assert_eq!(trend.next_sample_s(59, 100), 60);
        assert_eq!(trend.next_sample_s(60, 100), 120);
        assert_eq!(trend.next_sample_s(0, KEPT_S + 7), 60);
        assert_eq!(trend.next_sample_s(0, KEPT_S + 121), 180);
        assert_eq!(trend.next_sample_s(0, 30 * KEPT_S), 29 * KEPT_S);
        trend.keep_whole();
        assert_eq!(trend.next_sample_s(0, 30 * KEPT_S), 60);
    }
}
