//! What waiting for one another costs crews that share one bell, all with the same time at depth. Whoever goes for the first
//! time last has waited until every other crew was out once and the bell was turned round after each; what he does after
//! it fits into what is left, his rests between. So his bell runs and the first of each of the others are together no longer
//! than that time less the turnarounds and his rests, and the others' further runs no longer than such runs may be.

/// Crews that share one bell for one time.
pub struct Waits {
    /// Most water of so many runs of one crew alone, s, from none on; each adds no more than the one before it.
    pub own_s: Vec<f64>,
    /// How many crews.
    pub crews: usize,
    /// The time from which the first can go to which the last must be back, s.
    pub at_depth_s: i64,
    /// Between two runs of a crew, s.
    pub rest_s: i64,
    /// Between two runs of the bell, s.
    pub turnaround_s: i64,
    /// Longest run that is of use, s.
    pub longest_s: i64,
}

impl Waits {
    /// Most water of so many runs, s, where `water_s` says what as many runs hold that are so long together.
    pub fn most_s(&self, runs: usize, water_s: &dyn Fn(i64, i64) -> f64) -> f64 {
        let mut best = self.own_s.get(runs).copied().unwrap_or(0.0);
        for others in 1..self.crews.min(runs) {
            for last in 1..=runs - others {
                let Some(by_crews) = self.shared_s(last, runs - last, others) else {
                    continue;
                };
                let count = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
                let (waited, further) = (count(others), count(runs - last - others));
                let lengths_s =
                    self.at_depth_s - waited * self.turnaround_s - (count(last) - 1) * self.rest_s
                        + further * self.longest_s;
                best = best.max(by_crews.min(water_s(count(runs), lengths_s)));
            }
        }
        best
    }

    /// Water of the last crew's runs and of the others', shared out as evenly as may be, s; none: they cannot be so many.
    fn shared_s(&self, last: usize, rest: usize, others: usize) -> Option<f64> {
        let (each, more) = (rest / others, rest % others);
        let of = |n: usize| self.own_s.get(n).copied();
        let above = if more > 0 {
            of(each + 1)? * more as f64
        } else {
            0.0
        };
        Some(of(last)? + of(each)? * (others - more) as f64 + above)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MIN: i64 = 60;

    /// By hand: two crews, 5 720 min, rests of 12 h, 40 min between runs, runs of 8 h of which 402 min are water. Five runs each
    /// would fit for each alone; the second waits 520 min for the first and then has 5 200 - 4 x 720 = 2 320 min, 80 less
    /// than five runs, whichever of the two gives them up.
    #[test]
    fn the_second_waits_for_the_first() {
        let around_s = 78 * MIN;
        let water_s = |n: i64, lengths_s: i64| {
            (lengths_s - n * around_s).min(n * (480 * MIN - around_s)) as f64
        };
        let alone = |n: i64| water_s(n, (5720 + 720 - n * 720) * MIN);
        let mut waits = Waits {
            own_s: (0..=5).map(alone).collect(),
            crews: 2,
            at_depth_s: 5720 * MIN,
            rest_s: 720 * MIN,
            turnaround_s: 40 * MIN,
            longest_s: 480 * MIN,
        };
        let full_s = 10.0 * 402.0 * 60.0;
        assert_eq!(waits.most_s(10, &water_s), full_s - 80.0 * 60.0);
        // With 80 min more at depth nobody gives up anything, with 79 a minute.
        waits.at_depth_s = 5800 * MIN;
        assert_eq!(waits.most_s(10, &water_s), full_s);
        waits.at_depth_s = 5799 * MIN;
        assert_eq!(waits.most_s(10, &water_s), full_s - 60.0);
        // One crew waits for nobody, and more runs than there can be have no water.
        waits.crews = 1;
        assert_eq!(waits.most_s(5, &water_s), full_s / 2.0);
        assert_eq!(waits.most_s(6, &water_s), 0.0);
    }
}
