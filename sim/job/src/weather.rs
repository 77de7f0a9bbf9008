//! The weather at the site: how high the waves are now, when that changes next, and when it crosses
//! the launch limit.
//!
//! Waves come from nowhere (calm), from a series held until its next value, or from a second-order
//! chain: the class of the next step depends on the last two, which keeps the length of spells where a
//! first-order chain halves their median. The height lies uniformly within its class and stays there
//! as long as the class does. The top class has no upper edge in the counts; heights in it are taken
//! within one class width.

use super::random::Draw;
use deepstay_scenario::{MarkovChain, Weather};
use serde::{Deserialize, Serialize};

/// The waves now, and what is needed to go on from here to the same bits.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WeatherState {
    hs_m: f64,
    next_s: Option<i64>,
    way: Way,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[expect(clippy::large_enum_variant, reason = "a job has one")]
enum Way {
    Calm,
    Series {
        next: usize,
    },
    Chain {
        previous: u8,
        class: u8,
        place: f64,
        draw: Draw,
    },
}

impl WeatherState {
    /// The weather at second 0. A series holds its first height from before its first second on; a
    /// chain starts at one of its own pairs of classes, each as likely as it was counted.
    pub fn new(weather: &Weather, mut draw: Draw) -> WeatherState {
        match weather {
            Weather::Calm => WeatherState {
                hs_m: 0.0,
                next_s: None,
                way: Way::Calm,
            },
            Weather::Series(series) => {
                let next = series.partition_point(|&(at, _)| at <= 0);
                let held = series
                    .get(next.saturating_sub(1))
                    .map_or(0.0, |&(_, hs)| hs);
                WeatherState {
                    hs_m: held,
                    next_s: series.get(next).map(|s| s.0),
                    way: Way::Series { next },
                }
            }
            Weather::Chain(chain) => {
                let (previous, class) = start(chain, &mut draw);
                let place = draw.uniform();
                WeatherState {
                    hs_m: height(chain, class, place),
                    next_s: Some(chain.step_s.max(1)),
                    way: Way::Chain {
                        previous,
                        class,
                        place,
                        draw,
                    },
                }
            }
        }
    }

    /// Significant wave height now, m.
    pub fn hs_m(&self) -> f64 {
        self.hs_m
    }

    /// Second of the next change; none where there is no other.
    pub fn next_change(&self) -> Option<i64> {
        self.next_s
    }

    /// Makes every change up to and with second `to_s`. `weather` is the one the state was made from.
    pub fn advance(&mut self, weather: &Weather, to_s: i64) {
        while self.next_s.is_some_and(|at| at <= to_s) {
            self.change(weather);
        }
    }

    /// The second at which the height next goes from within to over a limit, or from over to within,
    /// if that is before `horizon_s`. It looks ahead on a copy: the state and its stream stay.
    pub fn until(&self, weather: &Weather, limit_m: f64, horizon_s: i64) -> Option<i64> {
        let over = self.hs_m > limit_m;
        let mut ahead = self.clone();
        while let Some(at) = ahead.next_s.filter(|&at| at < horizon_s) {
            ahead.change(weather);
            if (ahead.hs_m > limit_m) != over {
                return Some(at);
            }
        }
        None
    }

    fn change(&mut self, weather: &Weather) {
        let Some(at) = self.next_s else { return };
        match (&mut self.way, weather) {
            (Way::Series { next }, Weather::Series(series)) => {
                if let Some(&(_, hs)) = series.get(*next) {
                    self.hs_m = hs;
                }
                *next += 1;
                // A series that stands still or runs back is taken at the next second.
                self.next_s = series.get(*next).map(|s| s.0.max(at + 1));
            }
            (
                Way::Chain {
                    previous,
                    class,
                    place,
                    draw,
                },
                Weather::Chain(chain),
            ) => {
                let to = step(chain, *previous, *class, draw);
                if to != *class {
                    *place = draw.uniform();
                }
                (*previous, *class) = (*class, to);
                self.hs_m = height(chain, to, *place);
                self.next_s = at.checked_add(chain.step_s.max(1));
            }
            _ => self.next_s = None,
        }
    }
}

fn height(chain: &MarkovChain, class: u8, place: f64) -> f64 {
    (f64::from(class) + place) * chain.class_m
}

/// A pair of classes, each as likely as it was counted.
fn start(chain: &MarkovChain, draw: &mut Draw) -> (u8, u8) {
    let seen = |row: &(u8, u8, Vec<u32>)| row.2.iter().map(|&n| u64::from(n)).sum::<u64>();
    let mut left = draw.below(chain.rows.iter().map(seen).sum());
    for row in &chain.rows {
        let n = seen(row);
        if left < n {
            return (row.0, row.1);
        }
        left -= n;
    }
    (0, 0)
}

/// The next class. A pair that was never followed by anything is answered by its present class alone,
/// whatever came before; a class that was never left stays.
fn step(chain: &MarkovChain, previous: u8, class: u8, draw: &mut Draw) -> u8 {
    let pair = |row: &&(u8, u8, Vec<u32>)| row.0 == previous && row.1 == class;
    let alone = |row: &&(u8, u8, Vec<u32>)| row.1 == class;
    let followed = chain
        .rows
        .iter()
        .find(pair)
        .is_some_and(|row| row.2.iter().any(|&n| n > 0));
    let rows = || {
        chain
            .rows
            .iter()
            .filter(|row| if followed { pair(row) } else { alone(row) })
    };
    let total: u64 = rows().flat_map(|row| &row.2).map(|&n| u64::from(n)).sum();
    let mut left = draw.below(total);
    for row in rows() {
        for (to, &n) in (0u8..).zip(&row.2) {
            if left < u64::from(n) {
                return to;
            }
            left -= u64::from(n);
        }
    }
    class
}

#[cfg(test)]
mod tests {
    use super::super::random::{Source, Streams};
    use super::*;

    const TABLE: &str = "# a remark\nseason,previous_class_lo_m,class_lo_m,to_0,to_0.5,to_1\n\
        all,0,0,6,2,0\nall,0,0.5,1,4,1\nall,0.5,0.5,2,5,1\nall,0.5,0,3,1,0\nall,0.5,1,0,3,1\nJJA,0,0,1,0,0\n";

    fn draw(seed: u64) -> Draw {
        Streams::new(seed).stream(Source::Weather)
    }

    fn chain() -> Weather {
        Weather::Chain(
            deepstay_scenario::chain_from_table(TABLE, "all", 10_800).expect("a good table"),
        )
    }

    #[test]
    fn a_series_is_held_until_its_next_value() {
        let weather = Weather::Series(vec![(-100, 1.0), (50, 2.0), (80, 3.5), (200, 1.5)]);
        let mut now = WeatherState::new(&weather, draw(1));
        assert_eq!((now.hs_m(), now.next_change()), (1.0, Some(50)));
        assert_eq!(now.until(&weather, 3.0, 1000), Some(80));
        assert_eq!(now.until(&weather, 3.0, 80), None);
        now.advance(&weather, 79);
        assert_eq!(now.hs_m(), 2.0);
        now.advance(&weather, 80);
        assert_eq!(
            (now.hs_m(), now.until(&weather, 3.0, 1000)),
            (3.5, Some(200))
        );
        now.advance(&weather, 10_000);
        assert_eq!((now.hs_m(), now.next_change()), (1.5, None));
    }

    #[test]
    fn calm_stays_calm_and_an_empty_series_too() {
        for weather in [Weather::Calm, Weather::Series(Vec::new())] {
            let mut now = WeatherState::new(&weather, draw(1));
            now.advance(&weather, i64::MAX);
            assert_eq!(
                (
                    now.hs_m(),
                    now.next_change(),
                    now.until(&weather, 3.0, i64::MAX)
                ),
                (0.0, None, None)
            );
        }
    }

    #[test]
    fn looking_ahead_finds_what_then_happens() {
        let weather = chain();
        let mut now = WeatherState::new(&weather, draw(4));
        for _ in 0..50 {
            let over = now.hs_m() > 0.7;
            let at = now
                .until(&weather, 0.7, i64::MAX)
                .expect("it crosses some day");
            now.advance(&weather, at - 1);
            assert_eq!(now.hs_m() > 0.7, over);
            now.advance(&weather, at);
            assert_eq!(now.hs_m() > 0.7, !over);
        }
    }

    #[test]
    fn one_leap_many_steps_and_a_saved_state_agree() {
        let weather = chain();
        let mut leap = WeatherState::new(&weather, draw(9));
        let mut steps = leap.clone();
        for day in 1..60 {
            leap.advance(&weather, day * 86_400);
            for second in (0..=86_400).step_by(900) {
                steps.advance(&weather, (day - 1) * 86_400 + second);
            }
            let saved = postcard::to_stdvec(&steps).expect("can be written");
            steps = postcard::from_bytes(&saved).expect("and read");
            assert_eq!(leap, steps);
        }
    }

    #[test]
    fn a_pair_never_followed_is_answered_by_its_class() {
        // The pair (1.0, 1.0) is reached and is in no row.
        let weather = chain();
        let mut now = WeatherState::new(&weather, draw(2));
        let mut seen = [false; 3];
        for n in 1..2000 {
            now.advance(&weather, n * 10_800);
            seen[(now.hs_m() / 0.5) as usize] = true;
        }
        assert_eq!(seen, [true; 3]);
    }
}
