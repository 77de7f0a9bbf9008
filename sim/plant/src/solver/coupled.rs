//! Linear equations of the three points of a step, (I + A x Z) x = r with the scheme's A: for one balance
//! in closed form, for several that hang together through powers of Z, never as one large matrix.

use super::dense::{invert, multiply};
use super::radau::{A, A_SQUARED, DETERMINANT, MINORS, Points, TRACE, dot};

/// Solves (I + z A) x = r for one balance that dies away with z = rate times interval.
#[inline]
fn solve_one(z: f64, r: &Points) -> Points {
    let over = 1.0 / (1.0 + z * (TRACE + z * (MINORS + z * DETERMINANT)));
    std::array::from_fn(|j| {
        let (once, twice) = (dot(&A[j], r), dot(&A_SQUARED[j], r));
        (r[j] + z * ((TRACE * r[j] - once) + z * (MINORS * r[j] - TRACE * once + twice))) * over
    })
}

/// The equations of `m` balances that hang together, Z `m` by `m`.
///
/// With F = I + TRACE Z + MINORS Z^2 + DETERMINANT Z^3 the answer at a point is F^-1 times r there, F^-1 Z
/// times one sum of r over the points and F^-1 Z^2 times another, so those three are kept.
#[derive(Clone, Debug, Default)]
pub(crate) struct Coupled {
    m: usize,
    z: Vec<f64>,
    square: Vec<f64>,
    factor: Vec<f64>,
    inverse: Vec<f64>,
    once: Vec<f64>,
    twice: Vec<f64>,
    /// F^-1, F^-1 Z and F^-1 Z^2, element by element, column by column.
    parts: Vec<[f64; 3]>,
    sums: Vec<Lanes>,
}

/// Three points, and a fourth that is idle: two machine words of two.
type Lanes = [f64; 4];

impl Coupled {
    /// Takes Z, row by row and zero before, from `fill`.
    pub fn set(&mut self, m: usize, fill: impl FnOnce(&mut [f64])) {
        self.m = m;
        if m == 1 {
            self.z.clear();
            self.z.push(0.0);
            fill(&mut self.z);
            return;
        }
        let Coupled {
            z,
            square,
            factor,
            inverse,
            once,
            twice,
            ..
        } = self;
        for list in [z, square, factor, inverse, once, twice] {
            list.clear();
            list.resize(m * m, 0.0);
        }
        self.sums.resize(m, [0.0; 4]);
        self.parts.resize(m * m, [0.0; 3]);
        fill(&mut self.z);
        multiply(m, &self.z, &self.z, &mut self.square);
        for row in 0..m {
            let square = &self.square[row * m..][..m];
            let sums = &mut self.factor[row * m..][..m];
            for (k, once) in square.iter().enumerate().filter(|(_, once)| **once != 0.0) {
                for (sum, z) in sums.iter_mut().zip(&self.z[k * m..][..m]) {
                    *sum += DETERMINANT * once * z;
                }
            }
            for ((sum, z), zz) in sums.iter_mut().zip(&self.z[row * m..][..m]).zip(square) {
                *sum += TRACE * z + MINORS * zz;
            }
            sums[row] += 1.0;
        }
        invert(m, &mut self.factor, &mut self.inverse);
        // All three are made of Z alone, so that it may stand on either side.
        multiply(m, &self.z, &self.inverse, &mut self.once);
        multiply(m, &self.z, &self.once, &mut self.twice);
        for row in 0..m {
            for column in 0..m {
                let at = row * m + column;
                self.parts[column * m + row] = [self.inverse[at], self.once[at], self.twice[at]];
            }
        }
    }

    /// Solves for the right sides in `r` (per balance, the three points) in place.
    pub fn solve(&mut self, r: &mut [Points]) {
        let m = self.m;
        if m == 1 {
            r[0] = solve_one(self.z[0], &r[0]);
            return;
        }
        self.sums[..m].fill([0.0; 4]);
        for (column, r) in r[..m].iter().enumerate().filter(|(_, r)| **r != [0.0; 3]) {
            let mut side = [[0.0; 4]; 3];
            for j in 0..3 {
                let (once, twice) = (dot(&A[j], r), dot(&A_SQUARED[j], r));
                side[0][j] = r[j];
                side[1][j] = TRACE * r[j] - once;
                side[2][j] = MINORS * r[j] - TRACE * once + twice;
            }
            for (sum, part) in self.sums[..m]
                .iter_mut()
                .zip(&self.parts[column * m..][..m])
            {
                for lane in 0..4 {
                    sum[lane] +=
                        part[0] * side[0][lane] + part[1] * side[1][lane] + part[2] * side[2][lane];
                }
            }
        }
        for (x, sum) in r[..m].iter_mut().zip(&self.sums) {
            *x = [sum[0], sum[1], sum[2]];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn one_balance_relaxes_as_several_do() {
        let (z, r) = (2.7, [0.3, -1.1, 0.9]);
        let x = solve_one(z, &r);
        for j in 0..3 {
            assert_relative_eq!(x[j] + z * dot(&A[j], &x), r[j], max_relative = 1e-13);
        }
        let mut coupled = Coupled::default();
        let matrix = [2.0, -0.5, 0.3, 0.7, 3.0, 0.1, -0.2, 0.4, 1.0];
        coupled.set(3, |a| a.copy_from_slice(&matrix));
        let given = [[0.3, -1.1, 0.9], [1.0, 2.0, 3.0], [-1.0, 0.5, 0.25]];
        let mut x = given;
        coupled.solve(&mut x);
        for row in 0..3 {
            for j in 0..3 {
                let through: f64 = (0..3)
                    .map(|k| matrix[row * 3 + k] * dot(&A[j], &x[k]))
                    .sum();
                assert_relative_eq!(x[row][j] + through, given[row][j], max_relative = 1e-12);
            }
        }
    }
}
