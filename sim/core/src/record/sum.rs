//! Sums of amounts that carry their rounding error along (two-sum of Knuth, The Art of Computer
//! Programming vol. 2, 4.2.2), so that closure measures the plant and not the adding up.

use crate::gas::{Amounts, SPECIES};

#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sum {
    high: [f64; SPECIES],
    low: [f64; SPECIES],
}

impl Sum {
    pub(super) fn add(&mut self, moles: &Amounts) {
        for s in 0..SPECIES {
            let (a, b) = (self.high[s], moles.0[s]);
            let sum = a + b;
            let b_seen = sum - a;
            self.low[s] += (a - (sum - b_seen)) + (b - b_seen);
            self.high[s] = sum;
        }
    }

    pub(super) fn take(&mut self, other: &Sum, sign: f64) {
        self.add(&Amounts(other.high.map(|x| x * sign)));
        self.add(&Amounts(other.low.map(|x| x * sign)));
    }

    pub(super) fn get(&self) -> Amounts {
        Amounts(std::array::from_fn(|s| self.high[s] + self.low[s]))
    }
}
