//! What one balance answers to the right side of another over a step. It is told by three sums of the points, in which
//! the scheme is as simple as it can be: one that stands alone, and two that turn into one another.

use super::radau::{ALONE, FROM_SUMS, Points, TO_SUMS, TURNED, TURNING, dot};

/// How much of a right side there is in the answer: of the sum that stands alone, and of those that turn, of a sum's
/// own and of the other's.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Answers {
    pub alone: f64,
    pub own: f64,
    pub other: f64,
}

impl Answers {
    /// Of a balance that dies away by itself, z its rate times the interval.
    pub fn of_one(z: f64) -> Answers {
        let q = 1.0 / (1.0 + z * (2.0 * TURNING + z * (TURNING * TURNING + TURNED)));
        Answers {
            alone: 1.0 / (1.0 + ALONE * z),
            own: q * (1.0 + TURNING * z),
            other: q * z,
        }
    }

    /// Adds as much of others.
    #[inline]
    pub fn add(&mut self, others: &Answers, much: f64) {
        self.alone += much * others.alone;
        self.own += much * others.own;
        self.other += much * others.other;
    }

    /// The answer to a right side, both as sums.
    #[inline(always)]
    pub fn to(&self, side: &Points) -> Points {
        let [alone, second, third] = *side;
        [
            self.alone * alone,
            self.own * second + self.other * (TURNED * third),
            self.own * third - self.other * second,
        ]
    }

    /// The answer at each point, row by row, to a right side of one at each point.
    pub fn by_point(&self) -> [Points; 3] {
        let columns: [Points; 3] = std::array::from_fn(|j| {
            let side = std::array::from_fn(|k| TO_SUMS[k][j]);
            points(&self.to(&side))
        });
        std::array::from_fn(|at| columns.map(|column| column[at]))
    }
}

/// The three sums of points.
#[inline(always)]
pub(crate) fn sums(points: &Points) -> Points {
    std::array::from_fn(|k| dot(&TO_SUMS[k], points))
}

/// The points of three sums.
#[inline(always)]
pub(crate) fn points(sums: &Points) -> Points {
    std::array::from_fn(|k| dot(&FROM_SUMS[k], sums))
}

#[cfg(test)]
mod tests {
    use super::super::radau::A;
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn what_is_answered_by_point_solves_the_equations_of_the_points() {
        for z in [0.0, 0.3, -0.05, 40.0, 2e5] {
            let answers = Answers::of_one(z).by_point();
            for column in 0..3 {
                let x = answers.map(|row| row[column]);
                for row in 0..3 {
                    let unit = if row == column { 1.0 } else { 0.0 };
                    let scale = 1.0 + z.abs();
                    assert_relative_eq!(
                        (x[row] + z * dot(&A[row], &x)) / scale,
                        unit / scale,
                        epsilon = 1e-14
                    );
                }
            }
        }
    }
}
