//! The flows that keep one pressure over an interval: through the open ways of a tree, and out of its root
//! where that is open to the outside. They are found from what the pressures at the points answer to a mole
//! that passes, by the linear part of the balances.

use super::bench::Bench;
use super::core::Plant;
use super::dense::Dense;
use super::frozen::Frozen;
use super::level::Outside;
use super::linear::WARM_AND_WET;
use super::radau::{ADDS, POINTS, apply, relax};
use super::state::WallModel;
use super::step::rates_of;
use crate::MAX_COMPARTMENTS;
use deepstay_core::gas::{SPECIES, Species};

const H2O: usize = Species::H2o as usize;

impl Plant {
    /// Finds what the pressures of each tree answer to moles that pass, as at the start or as at a point.
    pub(super) fn set_levels(&self, c: usize, point: Option<usize>, b: &mut Bench) {
        let mut levels = std::mem::take(&mut b.levels);
        levels.resize_with(b.trees.len().max(levels.len()), Dense::default);
        for (k, answers) in levels.iter_mut().enumerate().take(b.trees.len()) {
            let tree = b.trees[k];
            let open = b.outside[tree.root()] != Outside::Shut;
            let passes = &tree.members()[usize::from(!open)..];
            let size = 3 * passes.len();
            answers.clear(size);
            for (u, i) in passes.iter().copied().enumerate() {
                let up = (i != tree.root()).then(|| tree.parent[i]);
                for j in 0..3 {
                    let answer = self.answer_to_a_mole(c, i, up, j, point, b);
                    for (v, other) in passes.iter().copied().enumerate() {
                        let base = if other == tree.root() {
                            [0.0; 3]
                        } else {
                            answer[tree.parent[other]]
                        };
                        for at in 0..3 {
                            *answers.at(3 * v + at, 3 * u + j) = answer[other][at] - base[at];
                        }
                    }
                }
            }
            answers.factorise();
        }
        b.levels = levels;
    }

    /// Relative changes of pressure, by compartment and point, where a mole has passed from one compartment to
    /// another or out by a point's time.
    pub(super) fn answer_to_a_mole(
        &self,
        c: usize,
        from: usize,
        to: Option<usize>,
        j: usize,
        point: Option<usize>,
        b: &mut Bench,
    ) -> [[f64; 3]; MAX_COMPARTMENTS] {
        let members = &self.clusters[c].members;
        let m = members.len();
        b.left.clear(m);
        let warm = self.physics.wall != WallModel::Isothermal;
        let (start, frozen) = (&b.start, &b.frozen);
        let at = |i: usize| -> &Frozen { point.map_or(&start[i], |p| &frozen[i][p]) };
        let gas_k = |i: usize| point.map_or(self.nodes[i].gas_k, |p| b.used[i][p].gas_k);
        let row = self.row_of(c, from);
        let wet = point.map_or(self.nodes[from].n_mol[H2O], |p| b.used[from][p].n_mol[H2O])
            / at(from).n_mol;
        b.left.n_mol[0][row][j] = -1.0;
        b.left.warm[2 * m + row][j] = -wet;
        if warm {
            b.left.warm[row][j] = -at(from).push_j_mol_k * gas_k(from) / at(from).c_j_k;
        }
        if let Some(to) = to {
            let row = self.row_of(c, to);
            b.left.n_mol[0][row][j] = 1.0;
            b.left.warm[2 * m + row][j] = wet;
            if warm {
                let brought = at(from).cp_j_mol_k * (gas_k(from) - gas_k(to))
                    + at(to).push_j_mol_k * gas_k(to);
                b.left.warm[row][j] = brought / at(to).c_j_k;
            }
        }
        if m == 1 {
            b.left.n_mol[0][0] = relax(b.h_s * b.alone[0], &b.left.n_mol[0][0]);
        } else {
            b.all.solve(&mut b.left.n_mol[0][..m]);
        }
        b.heat.solve(&mut b.left.warm[..WARM_AND_WET * m]);
        let mut answer = [[0.0; 3]; MAX_COMPARTMENTS];
        for (row, i) in members.iter().copied().enumerate() {
            let (n_mol, t_k) = (b.start[i].n_mol, self.nodes[i].gas_k);
            answer[i] = std::array::from_fn(|j| {
                b.left.n_mol[0][row][j] / n_mol + b.left.warm[row][j] / t_k
            });
        }
        answer
    }

    /// Brings the pressures at the points to one by changing what flows through open ways, as far as the linear
    /// part tells; gives the greatest relative difference there was.
    pub(super) fn level_points(&self, c: usize, t_s: f64, h_s: f64, b: &mut Bench) -> f64 {
        let mut apart = 0.0f64;
        if b.trees.is_empty() {
            return apart;
        }
        b.left.clear(self.clusters[c].members.len());
        for k in 0..b.trees.len() {
            apart = apart.max(self.level_tree(c, k, t_s, h_s, b));
        }
        self.respond(c, b);
        apart
    }

    /// Changes the flows that keep one pressure in a tree; gives the greatest relative difference of pressure.
    fn level_tree(&self, c: usize, k: usize, t_s: f64, h_s: f64, b: &mut Bench) -> f64 {
        let tree = b.trees[k];
        let root = tree.root();
        let outside = b.outside[root];
        let passes = &tree.members()[usize::from(outside == Outside::Shut)..];
        let comes = self.comes(root, outside, b.start[root].p_pa, t_s);
        let mut apart = [0.0; 3 * MAX_COMPARTMENTS];
        let mut most = 0.0f64;
        for j in 0..3 {
            let target_pa = self.target_pa(root, outside, t_s + h_s * POINTS[j]);
            let mut p_pa = [0.0; MAX_COMPARTMENTS];
            for i in tree.members().iter().copied() {
                p_pa[i] = self.pressure_pa(i, &b.node[i][j]);
            }
            for (v, i) in passes.iter().copied().enumerate() {
                let base = if i == root {
                    target_pa.unwrap_or(p_pa[i])
                } else {
                    p_pa[tree.parent[i]]
                };
                let above = libm::log1p((p_pa[i] - base) / base);
                // What is below the outside and lets nothing in stays below.
                let stays = i == root && !comes && above < 0.0 && b.out[root][j] <= 0.0;
                let above = if stays { 0.0 } else { above };
                apart[3 * v + j] = -above;
                most = most.max(above.abs());
            }
        }
        b.levels[k].solve(&mut apart[..3 * passes.len()]);
        for (v, i) in passes.iter().copied().enumerate() {
            let gained = [apart[3 * v], apart[3 * v + 1], apart[3 * v + 2]];
            if i == root {
                self.level_out(c, root, comes, h_s, &gained, b);
                continue;
            }
            let x = tree.via[i];
            let sign = if self.edges[x].a == i { 1.0 } else { -1.0 };
            for (level, rate) in b.level[x].iter_mut().zip(rates_of(&gained, h_s)) {
                *level += sign * rate;
            }
            self.pass(c, tree.parent[i], i, &gained, b);
        }
        most
    }

    fn level_out(
        &self,
        c: usize,
        i: usize,
        comes: bool,
        h_s: f64,
        gained: &[f64; 3],
        b: &mut Bench,
    ) {
        let mut change = rates_of(gained, h_s);
        for j in 0..3 {
            let old = b.out[i][j];
            let new = if comes {
                old + change[j]
            } else {
                (old + change[j]).max(0.0)
            };
            b.out[i][j] = new;
            change[j] = new - old;
        }
        let row = self.row_of(c, i);
        for j in 0..3 {
            self.leave(c, row, i, h_s * apply(&ADDS[j], &change), j, b);
        }
    }

    /// Place of a compartment among its cluster's members.
    fn row_of(&self, c: usize, i: usize) -> usize {
        self.clusters[c]
            .members
            .iter()
            .position(|m| *m == i)
            .unwrap_or(0)
    }

    /// Passes moles by the points' times from one compartment to another, or back where they are below zero.
    pub(super) fn pass(&self, c: usize, up: usize, i: usize, gained: &[f64; 3], b: &mut Bench) {
        let m = self.clusters[c].members.len();
        let (row, row_up) = (self.row_of(c, i), self.row_of(c, up));
        for (j, mol) in gained.iter().copied().enumerate() {
            let ((from, row_from), (to, row_to), mol) = if mol >= 0.0 {
                ((i, row), (up, row_up), mol)
            } else {
                ((up, row_up), (i, row), -mol)
            };
            self.leave(c, row_from, from, mol, j, b);
            let share = mol / b.frozen[from][j].n_mol;
            for s in 0..SPECIES {
                b.left.species(s, row_to, m)[j] += share * b.used[from][j].n_mol[s];
            }
            if self.physics.wall != WallModel::Isothermal {
                let (ff, ft) = (&b.frozen[from][j], &b.frozen[to][j]);
                let (from_k, to_k) = (b.used[from][j].gas_k, b.used[to][j].gas_k);
                b.left.warm[row_to][j] +=
                    mol * (ff.cp_j_mol_k * (from_k - to_k) + ft.push_j_mol_k * to_k) / ft.c_j_k;
            }
        }
    }

    /// Lets moles leave a compartment by a point's time.
    fn leave(&self, c: usize, row: usize, i: usize, mol: f64, j: usize, b: &mut Bench) {
        let m = self.clusters[c].members.len();
        let f = &b.frozen[i][j];
        let share = mol / f.n_mol;
        let node = &b.used[i][j];
        if self.physics.wall != WallModel::Isothermal {
            b.left.warm[row][j] -= mol * f.push_j_mol_k * node.gas_k / f.c_j_k;
        }
        for s in 0..SPECIES {
            b.left.species(s, row, m)[j] -= share * node.n_mol[s];
        }
    }
}
