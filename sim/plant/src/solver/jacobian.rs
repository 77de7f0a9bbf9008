//! How balances answer a change of one another, block by block: balances of one block hang together,
//! those of different blocks do not, and several blocks may share one matrix.

use super::answers::Answers;
use super::coupled::Coupled;
use super::radau::Points;

/// Balances next to each other in the list that hang together.
#[derive(Clone, Copy, Debug)]
struct Block {
    first: usize,
    size: usize,
    matrix: usize,
}

/// The Jacobian's blocks, factorised for the length of a step.
#[derive(Clone, Debug, Default)]
pub(crate) struct Jacobian {
    blocks: Vec<Block>,
    matrices: Vec<Coupled>,
}

impl Jacobian {
    /// Blocks of these sizes, one after the other; each has a matrix of its own number until it is given another's.
    pub fn lay_out(&mut self, sizes: impl IntoIterator<Item = usize>) {
        self.blocks.clear();
        let mut first = 0;
        for (matrix, size) in sizes.into_iter().enumerate() {
            self.blocks.push(Block {
                first,
                size,
                matrix,
            });
            first += size;
        }
        if self.matrices.len() < self.blocks.len() {
            self.matrices
                .resize_with(self.blocks.len(), Coupled::default);
        }
    }

    /// How many balances there are.
    pub fn balances(&self) -> usize {
        self.blocks.last().map_or(0, |b| b.first + b.size)
    }

    /// Gives a matrix its values: the derivatives of the rates of `size` balances by each of them, row by row, times
    /// the step's length and less than zero where a rate grows with its balance (what dies away is positive).
    pub fn set(&mut self, matrix: usize, size: usize, fill: impl FnOnce(&mut [f64])) {
        self.matrices[matrix].set(size, fill);
    }

    /// Lets a block have a matrix.
    pub fn give(&mut self, block: usize, matrix: usize) {
        self.blocks[block].matrix = matrix;
    }

    /// The part of a list by balances that belongs to a block.
    fn part<'a>(&self, block: usize, list: &'a mut [Points]) -> &'a mut [Points] {
        let Block { first, size, .. } = self.blocks[block];
        &mut list[first..first + size]
    }

    /// What a balance of a block answers to a right side of one of its balances.
    #[inline]
    pub fn answers(&self, block: usize, of: usize, at: usize) -> Answers {
        let Block { first, matrix, .. } = self.blocks[block];
        self.matrices[matrix].answers(of - first, at - first)
    }

    /// Solves a block for the right sides in a list by balances, in place.
    fn solve(&mut self, block: usize, right: &mut [Points]) {
        let part = self.part(block, right);
        // A single balance is solved sooner than looked at.
        if part.len() > 1 && part.iter().all(|r| *r == [0.0; 3]) {
            return;
        }
        self.matrices[self.blocks[block].matrix].solve(part);
    }

    /// Solves every block.
    pub fn solve_all(&mut self, right: &mut [Points]) {
        for block in 0..self.blocks.len() {
            self.solve(block, right);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::radau::{A, dot};
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn blocks_are_solved_each_by_its_own_matrix_or_by_a_shared_one() {
        let mut jacobian = Jacobian::default();
        jacobian.lay_out([1, 2, 2]);
        assert_eq!(jacobian.balances(), 5);
        jacobian.set(0, 1, |z| z[0] = 3.0);
        jacobian.set(1, 2, |z| z.copy_from_slice(&[1.0, -0.5, 0.25, 2.0]));
        jacobian.give(2, 1);
        let given = [
            [1.0, 2.0, 3.0],
            [0.5, 0.0, -1.0],
            [0.0, 0.0, 4.0],
            [-2.0, 1.0, 0.0],
            [1.0, 1.0, 1.0],
        ];
        let mut x = given;
        jacobian.solve_all(&mut x);
        let pair = |first: usize| {
            move |row: usize, k: usize| [[1.0, -0.5], [0.25, 2.0]][row - first][k - first]
        };
        let lone = |_: usize, _: usize| 3.0;
        let check = |rows: std::ops::Range<usize>, z: &dyn Fn(usize, usize) -> f64| {
            for row in rows.clone() {
                for j in 0..3 {
                    let through: f64 = rows.clone().map(|k| z(row, k) * dot(&A[j], &x[k])).sum();
                    assert_relative_eq!(
                        x[row][j] + through,
                        given[row][j],
                        max_relative = 1e-12,
                        epsilon = 1e-14
                    );
                }
            }
        };
        check(0..1, &lone);
        check(1..3, &pair(1));
        check(3..5, &pair(3));
    }
}
