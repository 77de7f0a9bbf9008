//! The pressure constraint: flows that keep one pressure over an interval, through the open passages of a
//! tree, and out of its root where that is open to the outside. They are found from what the pressures at
//! the points answer to a mole that passes.

use super::answer;
use super::exchange::{exchange, leaving};
use super::outside::Outside;
use super::passing::{leave, pass, rates_of};
use super::stage::{Stage, StageContents, Vessels};
use super::tree::Tree;
use crate::layout::Layout;
use crate::solver::correction::Correction;
use crate::solver::dense::Dense;
use crate::solver::jacobian::Jacobian;
use crate::solver::problem::{About, Step};
use crate::solver::radau::{A, Points, dot};
use crate::state::node::{Contents, Flow, Rates};
use crate::steel::edge::Edge;
use crate::steel::{MAX_COMPARTMENTS, MAX_EDGES};
use deepstay_core::gas::{self, Amounts};

/// What has one pressure over a step, and the flows that keep it.
#[derive(Clone, Debug)]
pub(crate) struct Constraint {
    trees: Vec<Tree>,
    outside: [Outside; MAX_COMPARTMENTS],
    /// Whether gas can come into a root from outside.
    comes: [bool; MAX_COMPARTMENTS],
    /// Pressure outside a root at the points, Pa.
    target_pa: [Points; MAX_COMPARTMENTS],
    /// Net flow a to b that keeps one pressure, and flow out of a compartment that does, mol/s.
    edge: [Points; MAX_EDGES],
    out: [Points; MAX_COMPARTMENTS],
    /// What the pressures of each tree answer to moles that pass.
    answers: Vec<Dense>,
}

impl Default for Constraint {
    fn default() -> Self {
        Constraint {
            trees: Vec::new(),
            outside: [Outside::Shut; MAX_COMPARTMENTS],
            comes: [false; MAX_COMPARTMENTS],
            target_pa: [[0.0; 3]; MAX_COMPARTMENTS],
            edge: [[0.0; 3]; MAX_EDGES],
            out: [[0.0; 3]; MAX_COMPARTMENTS],
            answers: Vec::new(),
        }
    }
}

impl Constraint {
    /// Lists what has one pressure over the coming steps.
    pub fn list(
        &mut self,
        layout: &Layout,
        edges: &[Edge],
        one_pressure: impl Fn(usize) -> bool,
        outside_of: impl Fn(usize) -> Outside,
        below_surface: impl Fn(&Tree) -> bool,
    ) {
        for i in layout.members().iter().copied() {
            self.outside[i] = outside_of(i);
        }
        super::tree::list(
            layout,
            edges,
            one_pressure,
            &mut self.outside,
            below_surface,
            &mut self.trees,
        );
    }

    /// What has one pressure.
    pub fn trees(&self) -> &[Tree] {
        &self.trees
    }

    /// What keeps a compartment's pressure from outside.
    #[inline]
    pub fn outside(&self, i: usize) -> Outside {
        self.outside[i]
    }

    /// Whether gas can come into each root from outside, as of now.
    pub fn ask_incoming(&mut self, comes: impl Fn(usize, Outside) -> bool) {
        for tree in &self.trees {
            let root = tree.root();
            self.comes[root] = comes(root, self.outside[root]);
        }
    }

    /// Net flow along an edge that keeps one pressure, mol/s.
    #[inline]
    pub fn along(&self, x: usize) -> &Points {
        &self.edge[x]
    }

    /// Flow out of a compartment that does, mol/s.
    #[inline]
    pub fn out(&self, i: usize) -> &Points {
        &self.out[i]
    }

    /// No flow keeps anything.
    pub fn drop_flows(&mut self, layout: &Layout) {
        self.predict(layout, |_| [0.0; 3], |_| [0.0; 3]);
    }

    /// Takes the flows that are expected.
    pub fn predict(
        &mut self,
        layout: &Layout,
        along: impl Fn(usize) -> Points,
        out: impl Fn(usize) -> Points,
    ) {
        for x in layout.edges().iter().copied() {
            self.edge[x] = along(x);
        }
        for i in layout.members().iter().copied() {
            self.out[i] = out(i);
        }
    }

    /// Asks for the pressures outside the roots at the points of a step.
    pub fn aim(&mut self, step: Step, target_pa: impl Fn(usize, Outside, f64) -> Option<f64>) {
        for tree in &self.trees {
            let root = tree.root();
            for j in 0..3 {
                if let Some(pa) = target_pa(root, self.outside[root], step.time_s(j)) {
                    self.target_pa[root][j] = pa;
                }
            }
        }
    }

    /// Members of a tree whose pressure is brought to that of the one before them, or of the outside.
    fn bound<'a>(&self, tree: &'a Tree) -> &'a [usize] {
        let shut = self.outside[tree.root()] == Outside::Shut;
        &tree.members()[usize::from(shut)..]
    }

    /// Finds what the pressures of each tree answer to moles that pass.
    pub fn linearise<V: Vessels>(&mut self, stage: &Stage<V>, about: About, jacobian: &Jacobian) {
        let mut all = std::mem::take(&mut self.answers);
        all.resize_with(self.trees.len().max(all.len()), Dense::default);
        for (answers, tree) in all.iter_mut().zip(&self.trees) {
            let bound = self.bound(tree);
            answers.clear(3 * bound.len());
            for (u, i) in bound.iter().copied().enumerate() {
                let up = (i != tree.root()).then(|| tree.parent(i));
                let answer = answer::to_a_mole(stage, about, (i, up), jacobian);
                for (v, other) in bound.iter().copied().enumerate() {
                    let mut apart = answer[other];
                    if other != tree.root() {
                        apart.add(&answer[tree.parent(other)], -1.0);
                    }
                    for (at, row) in apart.by_point().iter().enumerate() {
                        for (j, x) in row.iter().enumerate() {
                            *answers.at(3 * v + at, 3 * u + j) = *x;
                        }
                    }
                }
            }
            answers.factorise();
        }
        self.answers = all;
    }

    /// Brings the pressures at the points to one by changing what flows through open passages, as far as the Jacobian
    /// tells; gives the greatest relative difference there was.
    pub fn correct<V: Vessels>(
        &mut self,
        stage: &Stage<V>,
        step: Step,
        correction: &mut Correction,
    ) -> f64 {
        let mut apart = 0.0f64;
        if self.trees.is_empty() {
            return apart;
        }
        correction.clear();
        for k in 0..self.trees.len() {
            apart = apart.max(self.correct_tree(k, stage, step, correction));
        }
        correction.apply();
        apart
    }

    /// Changes the flows that keep one pressure in a tree; gives the greatest relative difference of pressure.
    fn correct_tree<V: Vessels>(
        &mut self,
        k: usize,
        stage: &Stage<V>,
        step: Step,
        correction: &mut Correction,
    ) -> f64 {
        let tree = self.trees[k];
        let root = tree.root();
        let bound = self.bound(&tree);
        let comes = self.comes[root];
        let mut apart = [0.0; 3 * MAX_COMPARTMENTS];
        let mut most = 0.0f64;
        for j in 0..3 {
            let mut p_pa = [0.0; MAX_COMPARTMENTS];
            for i in tree.members().iter().copied() {
                let node = stage
                    .layout
                    .gas_at(correction.states, stage.layout.row(i), j);
                p_pa[i] = stage.vessels.pressure_pa(i, &node);
            }
            for (v, i) in bound.iter().copied().enumerate() {
                let base = if i == root {
                    self.target_pa[root][j]
                } else {
                    p_pa[tree.parent(i)]
                };
                let above = libm::log1p((p_pa[i] - base) / base);
                // What is below the outside and lets nothing in stays below.
                let stays = i == root && !comes && above < 0.0 && self.out[root][j] <= 0.0;
                let above = if stays { 0.0 } else { above };
                apart[3 * v + j] = -above;
                most = most.max(above.abs());
            }
        }
        self.answers[k].solve(&mut apart[..3 * bound.len()]);
        for (v, i) in bound.iter().copied().enumerate() {
            let gained = [apart[3 * v], apart[3 * v + 1], apart[3 * v + 2]];
            if i == root {
                self.let_out(root, stage, step, &gained, correction);
                continue;
            }
            let x = tree.via(i);
            let sign = if stage.edges[x].a == i { 1.0 } else { -1.0 };
            for (flow, rate) in self.edge[x].iter_mut().zip(rates_of(&gained, step.h_s)) {
                *flow += sign * rate;
            }
            pass(stage, tree.parent(i), i, &gained, correction.residual);
        }
        most
    }

    /// Changes what flows out at a root; where nothing comes in, it is never below nothing.
    fn let_out<V: Vessels>(
        &mut self,
        i: usize,
        stage: &Stage<V>,
        step: Step,
        gained: &Points,
        correction: &mut Correction,
    ) {
        let mut change = rates_of(gained, step.h_s);
        for (out, change) in self.out[i].iter_mut().zip(&mut change) {
            let old = *out;
            let new = if self.comes[i] {
                old + *change
            } else {
                (old + *change).max(0.0)
            };
            *out = new;
            *change = new - old;
        }
        for j in 0..3 {
            let mol = step.h_s * dot(&A[j], &change);
            leave(stage, i, mol, j, correction.residual);
        }
    }

    /// Adds to rates and flows at the points what keeps one pressure. `incoming` says what comes into a root at a
    /// point, and its temperature, K.
    #[expect(
        clippy::too_many_arguments,
        reason = "the pieces of a stage, borrowed apart"
    )]
    pub fn add_to<V: Vessels>(
        &self,
        layout: &Layout,
        edges: &[Edge],
        vessels: &V,
        contents: &StageContents,
        one_pressure: impl Fn(usize) -> bool,
        incoming: impl Fn(usize, usize) -> (Amounts, f64),
        rates: &mut [[Rates; 3]; MAX_COMPARTMENTS],
        flows: &mut [Flow; MAX_EDGES],
    ) {
        let kept = |mut rate: Rates| {
            if vessels.isothermal() {
                rate.gas_k_s = 0.0;
            }
            rate
        };
        for x in layout.edges().iter().copied().filter(|x| one_pressure(*x)) {
            let Edge { a, b, .. } = edges[x];
            for j in 0..3 {
                let (of_a, of_b) = (&contents.points[a][j], &contents.points[b][j]);
                let net = self.edge[x][j];
                let shares = if net > 0.0 {
                    (net / of_a.gas.n_mol, 0.0)
                } else {
                    (0.0, -net / of_b.gas.n_mol)
                };
                let (rate_a, rate_b, flow) = exchange(shares, of_a, of_b);
                rates[a][j].add(&kept(rate_a));
                rates[b][j].add(&kept(rate_b));
                for (sum, part) in flows[x][j].iter_mut().zip(flow) {
                    *sum += part;
                }
            }
        }
        let open = |i: &usize| self.outside[*i] != Outside::Shut;
        for i in self.trees.iter().map(Tree::root).filter(open) {
            for j in 0..3 {
                let (out, here) = (self.out[i][j], &contents.points[i][j]);
                let rate = if out >= 0.0 {
                    leaving(out, here)
                } else {
                    coming(-out, here, incoming(i, j))
                };
                rates[i][j].add(&kept(rate));
            }
        }
    }
}

/// What gas does that comes into a compartment from outside, mol/s.
fn coming(in_mol_s: f64, here: &Contents, (mix, t_k): (Amounts, f64)) -> Rates {
    let Contents { node, gas } = here;
    let cp = gas::state::cp_j_mol_k(&mix);
    Rates {
        n_mol_s: mix.scaled(in_mol_s).0,
        gas_k_s: in_mol_s * (cp * (t_k - node.gas_k) + gas.push_j_mol_k * node.gas_k) / gas.c_j_k,
        ..Rates::default()
    }
}
