//! Linear equations of the three points of a step, (I + A x Z) x = r with the scheme's A: for one balance
//! in closed form, for several that hang together through powers of Z, never as one large matrix.

use super::dense::{Zeros, invert, multiply};
use super::radau::{A, A_SQUARED, DETERMINANT, MINORS, Points, TRACE, dot};

/// The equation (I + z A) x = r of one balance that dies away with z = rate times interval.
#[derive(Clone, Copy, Debug, Default)]
struct One {
    z: f64,
    over: f64,
}

impl One {
    fn new(z: f64) -> One {
        let over = 1.0 / (1.0 + z * (TRACE + z * (MINORS + z * DETERMINANT)));
        One { z, over }
    }

    #[inline]
    fn solve(&self, r: &Points) -> Points {
        let One { z, over } = *self;
        std::array::from_fn(|j| {
            let (once, twice) = (dot(&A[j], r), dot(&A_SQUARED[j], r));
            (r[j] + z * ((TRACE * r[j] - once) + z * (MINORS * r[j] - TRACE * once + twice))) * over
        })
    }
}

/// The equations of `m` balances that hang together, Z `m` by `m`.
///
/// With F = I + TRACE Z + MINORS Z^2 + DETERMINANT Z^3 the answer at a point is F^-1 times r there, F^-1 Z
/// times one sum of r over the points and F^-1 Z^2 times another, so those three are kept.
#[derive(Clone, Debug, Default)]
pub(crate) struct Coupled {
    m: usize,
    one: One,
    /// F^-1, F^-1 Z and F^-1 Z^2, element by element, column by column.
    parts: Vec<[f64; 3]>,
    sums: Vec<Lanes>,
    matrices: Vec<f64>,
}

/// Three points, and a fourth that is idle: two machine words of two.
type Lanes = [f64; 4];

/// As few balances as this are sooner calculated with than looked at for zeros.
const FEW: usize = 6;

/// How many matrices there are on the way from Z to what is kept.
const MATRICES: usize = 6;

impl Coupled {
    /// Takes Z, row by row and zero before, from `fill`. Most vessels stand alone or as a pair; for as many balances
    /// as those have the compiler knows the number.
    pub fn set(&mut self, m: usize, fill: impl FnOnce(&mut [f64])) {
        self.m = m;
        match m {
            1 => {
                let mut z = [0.0];
                fill(&mut z);
                self.one = One::new(z[0]);
            }
            2 => self.set_few::<2>(fill),
            3 => self.set_few::<3>(fill),
            6 => self.set_few::<6>(fill),
            9 => self.set_few::<9>(fill),
            12 => self.set_few::<12>(fill),
            _ => {
                self.matrices.clear();
                self.matrices.resize(MATRICES * m * m, 0.0);
                fill(&mut self.matrices[..m * m]);
                self.sums.resize(m, [0.0; 4]);
                self.parts.resize(m * m, [0.0; 3]);
                find_parts(m, Zeros::Skipped, &mut self.matrices, &mut self.parts);
            }
        }
    }

    fn set_few<const M: usize>(&mut self, fill: impl FnOnce(&mut [f64])) {
        let mut matrices = [[[0.0; M]; M]; MATRICES];
        let matrices = matrices.as_flattened_mut().as_flattened_mut();
        fill(&mut matrices[..M * M]);
        self.parts.resize(M * M, [0.0; 3]);
        let zeros = if M > FEW {
            Zeros::Skipped
        } else {
            Zeros::Multiplied
        };
        find_parts(M, zeros, matrices, &mut self.parts);
    }

    /// Solves for the right sides in `r` (per balance, the three points) in place.
    pub fn solve(&mut self, r: &mut [Points]) {
        match self.m {
            1 => r[0] = self.one.solve(&r[0]),
            2 => self.solve_few::<2>(r),
            3 => self.solve_few::<3>(r),
            6 => self.solve_few::<6>(r),
            9 => self.solve_few::<9>(r),
            12 => self.solve_few::<12>(r),
            m => {
                self.sums[..m].fill([0.0; 4]);
                solve(m, &self.parts, &mut self.sums, r);
            }
        }
    }

    fn solve_few<const M: usize>(&self, r: &mut [Points]) {
        solve(M, &self.parts, &mut [[0.0; 4]; M], r);
    }
}

/// Finds what is kept of Z, the first of the matrices.
#[inline(always)]
fn find_parts(m: usize, zeros: Zeros, matrices: &mut [f64], parts: &mut [[f64; 3]]) {
    let mm = m * m;
    let (z, rest) = matrices.split_at_mut(mm);
    let (square, rest) = rest.split_at_mut(mm);
    let (factor, rest) = rest.split_at_mut(mm);
    let (inverse, rest) = rest.split_at_mut(mm);
    let (once, twice) = rest.split_at_mut(mm);
    multiply(m, zeros, z, z, square);
    for (scaled, square) in once.iter_mut().zip(&*square) {
        *scaled = DETERMINANT * square;
    }
    multiply(m, zeros, once, z, factor);
    for at in 0..mm {
        factor[at] += TRACE * z[at] + MINORS * square[at];
    }
    for row in 0..m {
        factor[row * m + row] += 1.0;
    }
    invert(m, factor, inverse);
    // All three are made of Z alone, so that it may stand on either side.
    multiply(m, zeros, z, inverse, once);
    multiply(m, zeros, z, once, twice);
    for row in 0..m {
        for column in 0..m {
            let at = row * m + column;
            parts[column * m + row] = [inverse[at], once[at], twice[at]];
        }
    }
}

/// Solves for right sides in place; `sums` are zeros before.
#[inline(always)]
fn solve(m: usize, parts: &[[f64; 3]], sums: &mut [Lanes], r: &mut [Points]) {
    for (column, r) in r[..m].iter().enumerate() {
        if m > FEW && *r == [0.0; 3] {
            continue;
        }
        let mut side = [[0.0; 4]; 3];
        for j in 0..3 {
            let (once, twice) = (dot(&A[j], r), dot(&A_SQUARED[j], r));
            side[0][j] = r[j];
            side[1][j] = TRACE * r[j] - once;
            side[2][j] = MINORS * r[j] - TRACE * once + twice;
        }
        for (sum, part) in sums[..m].iter_mut().zip(&parts[column * m..][..m]) {
            for lane in 0..4 {
                sum[lane] +=
                    part[0] * side[0][lane] + part[1] * side[1][lane] + part[2] * side[2][lane];
            }
        }
    }
    for (x, sum) in r[..m].iter_mut().zip(sums) {
        *x = [sum[0], sum[1], sum[2]];
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn one_balance_relaxes_as_several_do() {
        let (z, r) = (2.7, [0.3, -1.1, 0.9]);
        let x = One::new(z).solve(&r);
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
