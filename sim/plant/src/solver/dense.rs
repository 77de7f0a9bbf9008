//! Small dense matrices, row by row, in plain lists: factors, inverse, product. What hangs together
//! is a few balances, so that a library's own allocations would cost more than the arithmetic.

/// A square matrix, and then its factors.
#[derive(Clone, Debug, Default)]
pub(crate) struct Dense {
    m: usize,
    a: Vec<f64>,
    swaps: Vec<usize>,
}

impl Dense {
    /// Nothing but zeros, `m` by `m`.
    pub fn clear(&mut self, m: usize) {
        self.m = m;
        self.a.clear();
        self.a.resize(m * m, 0.0);
    }

    /// One of its elements, before it is factorised.
    pub fn at(&mut self, row: usize, column: usize) -> &mut f64 {
        &mut self.a[row * self.m + column]
    }

    /// Readies it for `solve`.
    pub fn factorise(&mut self) {
        self.swaps.clear();
        self.swaps.resize(self.m, 0);
        factorise(self.m, &mut self.a, &mut self.swaps);
    }

    /// Solves for a right side in place.
    pub fn solve(&self, x: &mut [f64]) {
        let m = self.m;
        for k in 0..m {
            x.swap(k, self.swaps[k]);
        }
        for r in 0..m {
            x[r] -= dot(&self.a[r * m..][..r], &x[..r]);
        }
        for r in (0..m).rev() {
            let row = &self.a[r * m..][..m];
            x[r] = (x[r] - dot(&row[r + 1..], &x[r + 1..])) / row[r];
        }
    }
}

/// Share of the greatest element of a column that one to lead with has at least.
const GREAT_ENOUGH: f64 = 0.1;

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Puts a matrix's inverse in its place; `swaps` is room for `m` numbers.
#[inline(always)]
pub(crate) fn invert(m: usize, zeros: Zeros, a: &mut [f64], swaps: &mut [usize]) {
    for k in 0..m {
        let pivot = pivot_of(m, k, a);
        swaps[k] = pivot;
        if pivot != k {
            swap_rows(m, k, pivot, a);
        }
        let (before, rest) = a.split_at_mut(k * m);
        let (lead, after) = rest.split_at_mut(m);
        let by = 1.0 / lead[k];
        lead[k] = 1.0;
        lead.iter_mut().for_each(|x| *x *= by);
        for row in before.chunks_exact_mut(m).chain(after.chunks_exact_mut(m)) {
            let factor = row[k];
            if zeros == Zeros::Skipped && factor == 0.0 {
                continue;
            }
            row[k] = 0.0;
            for (x, above) in row.iter_mut().zip(&*lead) {
                *x -= factor * above;
            }
        }
    }
    for k in (0..m).rev().filter(|k| swaps[*k] != *k) {
        for row in a.chunks_exact_mut(m) {
            row.swap(k, swaps[k]);
        }
    }
}

/// The row to lead with: its own, unless another is that much greater.
fn pivot_of(m: usize, k: usize, a: &[f64]) -> usize {
    let size = |row: usize| a[row * m + k].abs();
    let greatest = (k..m).map(size).fold(0.0, f64::max);
    if size(k) >= GREAT_ENOUGH * greatest {
        return k;
    }
    (k..m).find(|row| size(*row) >= greatest).unwrap_or(k)
}

fn swap_rows(m: usize, one: usize, other: usize, a: &mut [f64]) {
    for c in 0..m {
        a.swap(one * m + c, other * m + c);
    }
}

fn factorise(m: usize, a: &mut [f64], swaps: &mut [usize]) {
    for k in 0..m {
        let pivot = pivot_of(m, k, a);
        swaps[k] = pivot;
        if pivot != k {
            swap_rows(m, k, pivot, a);
        }
        let (upper, lower) = a.split_at_mut((k + 1) * m);
        let lead = &upper[k * m..];
        for row in lower.chunks_exact_mut(m) {
            if row[k] == 0.0 {
                continue;
            }
            row[k] /= lead[k];
            let factor = row[k];
            for (x, above) in row[k + 1..].iter_mut().zip(&lead[k + 1..]) {
                *x -= factor * above;
            }
        }
    }
}

/// What a product does where the left matrix is zero: few are multiplied sooner than looked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Zeros {
    Skipped,
    Multiplied,
}

/// The product of two matrices.
#[inline(always)]
pub(crate) fn multiply(m: usize, zeros: Zeros, a: &[f64], b: &[f64], out: &mut [f64]) {
    for (left, sums) in a.chunks_exact(m).zip(out.chunks_exact_mut(m)) {
        sums.fill(0.0);
        for (factor, row) in left
            .iter()
            .zip(b.chunks_exact(m))
            .filter(|(factor, _)| zeros == Zeros::Multiplied || **factor != 0.0)
        {
            for (sum, x) in sums.iter_mut().zip(row) {
                *sum += factor * x;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const A: [f64; 9] = [0.0, 2.0, 1.0, 3.0, -1.0, 0.5, 1.0, 0.0, 4.0];

    #[test]
    fn an_inverse_undoes() {
        let mut unit = [7.0; 9];
        for zeros in [Zeros::Skipped, Zeros::Multiplied] {
            let mut inverse = A;
            invert(3, zeros, &mut inverse, &mut [7; 3]);
            multiply(3, zeros, &A, &inverse, &mut unit);
            for (at, x) in unit.iter().enumerate() {
                assert_relative_eq!(*x, if at % 4 == 0 { 1.0 } else { 0.0 }, epsilon = 1e-14);
            }
        }
    }

    #[test]
    fn factors_solve() {
        let mut dense = Dense::default();
        dense.clear(3);
        for (at, x) in A.iter().enumerate() {
            *dense.at(at / 3, at % 3) = *x;
        }
        dense.factorise();
        let mut x = [4.0, 2.5, 9.0];
        dense.solve(&mut x);
        for row in 0..3 {
            let sum: f64 = (0..3).map(|c| A[3 * row + c] * x[c]).sum();
            assert_relative_eq!(sum, [4.0, 2.5, 9.0][row], max_relative = 1e-14);
        }
    }
}
