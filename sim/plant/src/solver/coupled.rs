//! Linear equations of the three points of a step, (I + A x Z) x = r with the scheme's A: never as one large matrix,
//! but for three sums of the points, of which one stands alone and two turn into one another.

use super::answers::{self, Answers, points, sums};
use super::dense::{Zeros, invert, multiply};
use super::radau::{ALONE, DETERMINANT, MINORS, Points, TRACE, TURNED, TURNING};

/// The equations of `m` balances that hang together, Z `m` by `m`.
///
/// The sum that stands alone has the answer (I + ALONE Z)^-1 times its right side. With
/// Q = (I + 2 TURNING Z + (TURNING^2 + TURNED) Z^2)^-1 those that turn have (Q + TURNING Z Q) times their own right
/// side and Z Q times the other's (as [`Answers::to`] has it), so that these three matrices are kept.
#[derive(Clone, Debug, Default)]
pub(crate) struct Coupled {
    m: usize,
    one: Answers,
    /// Element by element, column by column.
    several: Vec<Answers>,
    sums: Vec<Points>,
    matrices: Vec<f64>,
    swaps: Vec<usize>,
}

/// As few balances as this are sooner calculated with than looked at for zeros.
const FEW: usize = 6;

/// How many matrices there are on the way from Z to what is kept.
const MATRICES: usize = 5;

impl Coupled {
    /// Takes Z, row by row and zero before, from `fill`. Most vessels stand alone or as a pair; for as many balances
    /// as those have the compiler knows the number.
    pub fn set(&mut self, m: usize, fill: impl FnOnce(&mut [f64])) {
        self.m = m;
        match m {
            1 => {
                let mut z = [0.0];
                fill(&mut z);
                self.one = Answers::of_one(z[0]);
            }
            2 => self.set_few::<2>(fill),
            3 => self.set_few::<3>(fill),
            4 => self.set_few::<4>(fill),
            6 => self.set_few::<6>(fill),
            9 => self.set_few::<9>(fill),
            12 => self.set_few::<12>(fill),
            _ => {
                self.matrices.clear();
                self.matrices.resize(MATRICES * m * m, 0.0);
                fill(&mut self.matrices[..m * m]);
                self.sums.resize(m, [0.0; 3]);
                self.swaps.resize(m, 0);
                self.several.resize(m * m, Answers::default());
                let Coupled {
                    matrices, swaps, ..
                } = self;
                find_answers(m, Zeros::Skipped, matrices, swaps, &mut self.several);
            }
        }
    }

    fn set_few<const M: usize>(&mut self, fill: impl FnOnce(&mut [f64])) {
        let mut matrices = [[[0.0; M]; M]; MATRICES];
        let matrices = matrices.as_flattened_mut().as_flattened_mut();
        fill(&mut matrices[..M * M]);
        self.several.resize(M * M, Answers::default());
        let zeros = if M > FEW {
            Zeros::Skipped
        } else {
            Zeros::Multiplied
        };
        find_answers(M, zeros, matrices, &mut [0; M], &mut self.several);
    }

    /// What the balance at a row answers to the right side of the one at a column.
    #[inline]
    pub fn answers(&self, column: usize, row: usize) -> Answers {
        match self.m {
            1 => self.one,
            m => self.several[column * m + row],
        }
    }

    /// Solves for the right sides in `r` (per balance, the three points) in place.
    pub fn solve(&mut self, r: &mut [Points]) {
        match self.m {
            1 => r[0] = points(&self.one.to(&sums(&r[0]))),
            2 => self.solve_few::<2>(r),
            3 => self.solve_few::<3>(r),
            4 => self.solve_few::<4>(r),
            6 => self.solve_few::<6>(r),
            9 => self.solve_few::<9>(r),
            12 => self.solve_few::<12>(r),
            m => {
                self.sums[..m].fill([0.0; 3]);
                solve(m, &self.several, &mut self.sums, r);
            }
        }
    }

    fn solve_few<const M: usize>(&self, r: &mut [Points]) {
        solve(M, &self.several, &mut [[0.0; 3]; M], r);
    }
}

/// Finds what is kept of Z, the first of the matrices, through F = I + TRACE Z + MINORS Z^2 + DETERMINANT Z^3, which is
/// (I + ALONE Z) times what Q is the inverse of: one matrix to invert.
#[inline(always)]
fn find_answers(
    m: usize,
    zeros: Zeros,
    matrices: &mut [f64],
    swaps: &mut [usize],
    answers: &mut [Answers],
) {
    let mm = m * m;
    let (z, rest) = matrices.split_at_mut(mm);
    let (square, rest) = rest.split_at_mut(mm);
    let (inverse, rest) = rest.split_at_mut(mm);
    let (once, twice) = rest.split_at_mut(mm);
    multiply(m, zeros, z, z, square);
    for (scaled, square) in once.iter_mut().zip(&*square) {
        *scaled = DETERMINANT * square;
    }
    multiply(m, zeros, once, z, inverse);
    for at in 0..mm {
        inverse[at] += TRACE * z[at] + MINORS * square[at];
    }
    for row in 0..m {
        inverse[row * m + row] += 1.0;
    }
    invert(m, zeros, inverse, swaps);
    // All three are made of Z alone, so that it may stand on either side.
    multiply(m, zeros, z, inverse, once);
    multiply(m, zeros, z, once, twice);
    for row in 0..m {
        for column in 0..m {
            let at = row * m + column;
            let (inverse, once, twice) = (inverse[at], once[at], twice[at]);
            answers[column * m + row] = Answers {
                alone: inverse + 2.0 * TURNING * once + (TURNING * TURNING + TURNED) * twice,
                own: inverse + (ALONE + TURNING) * once + ALONE * TURNING * twice,
                other: once + ALONE * twice,
            };
        }
    }
}

/// Solves for right sides in place; `sums` are zeros before.
#[inline(always)]
fn solve(m: usize, answers: &[Answers], sums: &mut [Points], r: &mut [Points]) {
    for (column, r) in r[..m].iter().enumerate() {
        if m > FEW && *r == [0.0; 3] {
            continue;
        }
        let side = answers::sums(r);
        for (sum, answer) in sums[..m].iter_mut().zip(&answers[column * m..][..m]) {
            for (sum, more) in sum.iter_mut().zip(answer.to(&side)) {
                *sum += more;
            }
        }
    }
    for (x, sum) in r[..m].iter_mut().zip(sums) {
        *x = points(sum);
    }
}

#[cfg(test)]
mod tests {
    use super::super::radau::{A, dot};
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn one_balance_relaxes_as_several_do() {
        let (z, r) = (2.7, [0.3, -1.1, 0.9]);
        let mut coupled = Coupled::default();
        coupled.set(1, |a| a[0] = z);
        let mut x = [r];
        coupled.solve(&mut x);
        let [x] = x;
        for j in 0..3 {
            assert_relative_eq!(x[j] + z * dot(&A[j], &x), r[j], max_relative = 1e-13);
        }
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
