//! What can be seen of a job at a second, by whoever looks at the panel: what instruments show, and which fans run.
//! Two of them differ where an instrument shows more than its own step apart.

use super::super::clock::Job;
use deepstay_core::record::Spoken;
use deepstay_core::units::{CompartmentId, DiverId, InstrumentId};
use deepstay_plant::Instrument;

/// Which way a reading went, against the same hours without a failure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// It shows more.
    Up,
    /// It shows less.
    Down,
    /// It stands where it should have moved.
    Stands,
}

/// What shows a failure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sign {
    /// An instrument.
    Reading {
        /// Which.
        instrument: InstrumentId,
        /// Which way it went.
        way: Way,
        /// What it shows.
        shows: f64,
        /// What it would have shown.
        would_show: f64,
    },
    /// The lamp of a scrubber's fan goes out.
    FanLamp(CompartmentId),
    /// Somebody says something, or is heard.
    Voice {
        /// Who.
        diver: DiverId,
        /// What.
        report: Spoken,
    },
    /// A relief valve lifts, which is heard.
    Relief(CompartmentId),
}

/// What is seen at one second.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Seen {
    readings: Vec<f64>,
    fans: Vec<bool>,
}

impl Seen {
    pub fn of(job: &Job) -> Seen {
        let (plant, now_s) = (job.plant(), job.now());
        let instruments = 0..plant.steel().instruments.len() as u16;
        let compartments = 0..plant.steel().compartments.len() as u8;
        Seen {
            readings: instruments
                .map(|k| plant.read(InstrumentId(k), now_s))
                .collect(),
            fans: compartments
                .map(|c| plant.fan_runs(CompartmentId(c)))
                .collect(),
        }
    }

    /// What tells it from what is seen without the failure: a lamp first, or the instrument that is furthest off by
    /// its own step. `before` is what both showed when the failure came.
    pub fn differs(
        &self,
        without: &Seen,
        before: &Seen,
        instruments: &[Instrument],
    ) -> Option<Sign> {
        let lamps = (0u8..).zip(self.fans.iter().zip(&without.fans));
        let out = lamps
            .into_iter()
            .find(|(_, (mine, other))| mine != other)
            .map(|(c, _)| Sign::FanLamp(CompartmentId(c)));
        if out.is_some() {
            return out;
        }
        let apart = |k: usize| {
            let off = (self.readings[k] - without.readings[k]).abs();
            off / least_step(&instruments[k])
        };
        let furthest = (0..instruments.len())
            .filter(|k| apart(*k) > 1.0 + ROUNDING)
            .reduce(|a, b| if apart(b) > apart(a) { b } else { a })?;
        let (shows, would_show) = (self.readings[furthest], without.readings[furthest]);
        let way = if shows == before.readings[furthest] {
            Way::Stands
        } else if shows > would_show {
            Way::Up
        } else {
            Way::Down
        };
        Some(Sign::Reading {
            instrument: InstrumentId(furthest as u16),
            way,
            shows,
            would_show,
        })
    }
}

/// Readings one step apart differ by a step and the rounding of two floats.
const ROUNDING: f64 = 1e-6;

/// The least that an instrument tells: its step, or where it shows all digits what it is good for.
fn least_step(instrument: &Instrument) -> f64 {
    match instrument.resolution > 0.0 {
        true => instrument.resolution,
        false => instrument.accuracy.max(f64::MIN_POSITIVE),
    }
}
