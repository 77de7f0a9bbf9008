//! Which limits were in force when.

use super::kept::Kept;
use super::{Entry, LimitName, Sink, What};

/// Most bands kept one by one; those beyond are counted only.
const MOST: usize = 100_000;

/// A limit in force at one value over a stretch of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandTime {
    /// Which limit.
    pub name: LimitName,
    /// Its value, in the unit of its quantity; of a rate, in a minute.
    pub limit: f64,
    /// From when, s.
    pub from_s: i64,
    /// Until when, s; none while it is.
    pub to_s: Option<i64>,
}

/// The sink that keeps which limits were in force.
#[derive(Clone, Debug, Default)]
pub struct Bands {
    list: Kept<BandTime, MOST>,
}

impl Bands {
    /// All, in the order in which they came into force.
    pub fn list(&self) -> &[BandTime] {
        &self.list
    }

    /// Bands counted and not kept.
    pub fn left_out(&self) -> u64 {
        self.list.beyond()
    }
}

impl Sink for Bands {
    fn take(&mut self, entry: Entry) {
        let What::LimitBand {
            name,
            limit,
            in_force,
        } = entry.what
        else {
            return;
        };
        if !in_force {
            let open = |b: &&mut BandTime| b.name == name && b.to_s.is_none();
            if let Some(band) = self.list.iter_mut().rev().find(open) {
                band.to_s = Some(entry.at);
            }
        } else {
            self.list.keep(BandTime {
                name,
                limit,
                from_s: entry.at,
                to_s: None,
            });
        }
    }
}
