//! A time of the day as it comes in life: planned for a second of the vessel's day, and each day a little earlier or
//! later, by the job's seed.

use super::context::{Kit, Look};
use crate::random::Draw;
use serde::{Deserialize, Serialize};

const DAY_S: i64 = 86_400;
/// A time that passed longer ago than this, while nobody was under pressure, is left out, s (house figure).
const LATEST_S: i64 = 3600;

/// When it is planned for next, and when it comes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct DailyTime {
    planned: i64,
    due: i64,
}

impl DailyTime {
    /// The next one after `now` that is planned for a second of the vessel's day, sampled from `within` seconds before
    /// and after it.
    pub fn new(
        kit: &Kit,
        now: i64,
        second_of_day: i64,
        within: (f64, f64),
        draw: &mut Draw,
    ) -> DailyTime {
        let planned = kit.next_daily(now, second_of_day);
        let due = sampled(planned, within, draw).max(now + 1);
        DailyTime { planned, due }
    }

    /// When it comes next, s.
    pub fn due(&self) -> i64 {
        self.due
    }

    /// Whether it has come; then the next day's is sampled. Sees to it that it is looked at.
    pub fn comes(&mut self, look: &mut Look, within: (f64, f64), draw: &mut Draw) -> bool {
        let late_s = look.now - self.due;
        while self.due <= look.now {
            self.planned += DAY_S;
            self.due = sampled(self.planned, within, draw);
        }
        look.wake(self.due);
        (0..LATEST_S).contains(&late_s)
    }
}

fn sampled(planned: i64, (earliest, latest): (f64, f64), draw: &mut Draw) -> i64 {
    planned + draw.between(earliest, latest) as i64
}
