//! How fast time passes on a screen: standing, or so many seconds of the job in one of the clock on the wall.

use std::time::{Duration, Instant};

/// Speeds at which a person still keeps the watch.
pub const SPEEDS: &[u32] = &[1, 2, 5, 10, 30, 60, 120, 300, 600];

/// The clock.
#[derive(Debug)]
pub struct Clock {
    speeds: &'static [u32],
    speed: usize,
    runs: bool,
    since: Instant,
    left: Duration,
}

impl Clock {
    /// Standing, at the first of its speeds.
    pub fn new(speeds: &'static [u32], now: Instant) -> Clock {
        Clock {
            speeds,
            speed: 0,
            runs: false,
            since: now,
            left: Duration::ZERO,
        }
    }

    /// Seconds of the job in one of the wall's.
    pub fn speed(&self) -> u32 {
        self.speeds[self.speed]
    }

    /// Whether time passes.
    pub fn runs(&self) -> bool {
        self.runs
    }

    /// Time passes, or stands.
    pub fn run(&mut self, runs: bool, now: Instant) {
        self.runs = runs;
        self.since = now;
        self.left = Duration::ZERO;
    }

    /// Faster, or slower.
    pub fn change(&mut self, faster: bool) {
        self.speed = match faster {
            true => (self.speed + 1).min(self.speeds.len() - 1),
            false => self.speed.saturating_sub(1),
        };
        self.left = Duration::ZERO;
    }

    /// As slow as the job itself.
    pub fn real(&mut self) {
        self.speed = 0;
        self.left = Duration::ZERO;
    }

    /// Whole seconds of the job that have passed since this was last asked. What a slow machine has not kept up with
    /// is left out beyond a second of the wall's.
    pub fn passed(&mut self, now: Instant) -> i64 {
        let wall = now.saturating_duration_since(self.since);
        self.since = now;
        if !self.runs {
            return 0;
        }
        self.left += wall.min(Duration::from_secs(1)) * self.speed();
        let whole = self.left.as_secs();
        self.left -= Duration::from_secs(whole);
        i64::try_from(whole).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seconds_of_the_job_follow_the_wall_and_its_speed() {
        let begun = Instant::now();
        let mut clock = Clock::new(SPEEDS, begun);
        assert_eq!(clock.passed(begun + Duration::from_secs(5)), 0);
        clock.run(true, begun);
        let at = |ms| begun + Duration::from_millis(ms);
        let each: Vec<i64> = (1..=8).map(|k| clock.passed(at(k * 250))).collect();
        assert_eq!(each, [0, 0, 0, 1, 0, 0, 0, 1]);
        (0..20).for_each(|_| clock.change(true));
        assert_eq!(clock.speed(), 600);
        assert_eq!(clock.passed(at(2050)), 30);
        assert_eq!(clock.passed(at(60_000)), 600);
    }
}
