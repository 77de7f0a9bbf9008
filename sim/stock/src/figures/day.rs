//! The rows of the charts by day: the stock left, and the chances of reaching the minimum and of stopping.

use super::{Chance, quantile};

/// What is left of a gas on a day over many simulated jobs, in one unit for all rows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FanDay {
    /// Day: 0 is the start, 1 the end of the first day.
    pub day: u32,
    /// One in a hundred has less.
    pub p01: f64,
    /// One in twenty has less.
    pub p05: f64,
    /// One in five has less.
    pub p20: f64,
    /// Median.
    pub p50: f64,
    /// One in five has more.
    pub p80: f64,
    /// One in twenty has more.
    pub p95: f64,
    /// One in a hundred has more.
    pub p99: f64,
    /// Least of all.
    pub least: f64,
}

impl FanDay {
    /// The row of a day from what each job has left then, in any order.
    pub fn of(day: u32, left: &[f64]) -> FanDay {
        let mut rising = left.to_vec();
        rising.sort_by(f64::total_cmp);
        let at = |p| quantile(&rising, p);
        FanDay {
            day,
            p01: at(0.01),
            p05: at(0.05),
            p20: at(0.2),
            p50: at(0.5),
            p80: at(0.8),
            p95: at(0.95),
            p99: at(0.99),
            least: rising.first().copied().unwrap_or(f64::NAN),
        }
    }

    /// The same in another unit.
    pub fn scaled(&self, by: f64) -> FanDay {
        FanDay {
            day: self.day,
            p01: self.p01 * by,
            p05: self.p05 * by,
            p20: self.p20 * by,
            p50: self.p50 * by,
            p80: self.p80 * by,
            p95: self.p95 * by,
            p99: self.p99 * by,
            least: self.least * by,
        }
    }
}

/// Chances that something has come by the end of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChanceDay {
    /// Day: 0 is the start, 1 the end of the first day.
    pub day: u32,
    /// The minimum stock of at least one gas was reached.
    pub minimum: Chance,
    /// Work was stopped for want of gas.
    pub stopped: Chance,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_s_row_is_in_order() {
        let left: Vec<f64> = (0..=1000).rev().map(f64::from).collect();
        let row = FanDay::of(3, &left);
        let rising = [
            row.least, row.p01, row.p05, row.p20, row.p50, row.p80, row.p95, row.p99,
        ];
        assert!(
            rising.is_sorted() && row.p50 == 500.0 && row.least == 0.0,
            "{row:?}"
        );
        assert!(FanDay::of(0, &[]).p50.is_nan());
    }
}
