//! Planning backwards: when a decompression must begin so that the surface is reached by a given time.

use super::{RuleRefusal, RuleSet};

/// Starts are looked for this far apart, s.
const STEP_S: i64 = 600;
/// Most steps: a hundred days.
const MOST_STEPS: i64 = 100 * 86_400 / STEP_S;

impl RuleSet {
    /// The latest second, in steps of ten minutes back from `by_s`, at which a decompression from a depth,
    /// msw, may begin so that it ends by `by_s`; and its length, s. The length depends on the hour of the
    /// start where the set rests at night. `start_second_of_day` is the second of the ship's day at second 0.
    ///
    /// # Errors
    /// As [`RuleSet::decompression`].
    pub fn latest_decompression_start(
        &self,
        depth_msw: f64,
        by_s: i64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<(i64, i64), RuleRefusal> {
        let length_s = |at_s: i64| {
            let second = (start_second_of_day + at_s).rem_euclid(86_400);
            self.decompression(depth_msw, second, accepted)
                .map(|plan| plan.total_s)
        };
        let mut steps = length_s(by_s)? / STEP_S;
        // Back to where every start of the hours around is in time, then forward to the last that is.
        let in_time = |steps: i64| -> Result<Option<i64>, RuleRefusal> {
            let length = length_s(by_s - steps * STEP_S)?;
            Ok((length <= steps * STEP_S).then_some(length))
        };
        while steps < MOST_STEPS && in_time(steps)?.is_none() {
            steps += 1;
        }
        while steps > 0
            && let Some(_) = in_time(steps - 1)?
        {
            steps -= 1;
        }
        let start_s = by_s - steps * STEP_S;
        Ok((start_s, length_s(start_s)?))
    }
}
