//! Valves between compartments whose pressures come together: what flows goes by the difference, and the
//! difference soon by what has flowed. The states at the points are corrected for that too, from what the
//! pressures answer to a mole that passes.

use super::answer;
use super::passage::Passage;
use super::passing::{pass, rates_of};
use super::stage::{Stage, Vessels};
use crate::opening::{nozzle, through_mol_s};
use crate::solver::correction::Correction;
use crate::solver::dense::Dense;
use crate::solver::jacobian::Jacobian;
use crate::solver::problem::{About, Step};
use crate::solver::radau::{A_INVERSE, Points};
use crate::steel::MAX_EDGES;
use crate::steel::edge::Edge;
use deepstay_core::gas::Amounts;

/// Small relative rise of the lower pressure, from which is taken how the flow answers to it.
const SMALL: f64 = 1e-6;
/// Share of what passes by which the flow must answer over a step to be corrected for it.
const MATTERS: f64 = 0.02;

/// Shares of the contents of both sides of an edge that go to the other at the points, 1/s.
pub(crate) type Shares = [(f64, f64); 3];

/// A valve whose flow answers to what has flowed.
#[derive(Clone, Debug, Default)]
struct Valve {
    edge: usize,
    from: usize,
    to: usize,
    area_m2: f64,
    /// What the flow and the pressures leave of a flow at the points that is too great.
    leaves: Dense,
    /// By what share of the contents at the points it was corrected, 1/s.
    share: Points,
}

/// The valves of a cluster whose flow answers to what has flowed.
#[derive(Clone, Debug, Default)]
pub(crate) struct Valves {
    list: Vec<Valve>,
    count: usize,
}

impl Valves {
    /// Finds them, and what their flow answers.
    pub fn linearise<V: Vessels>(
        &mut self,
        stage: &Stage<V>,
        passages: &[Passage; MAX_EDGES],
        step: Step,
        about: About,
        jacobian: &Jacobian,
    ) {
        self.count = 0;
        for x in stage.layout.edges().iter().copied() {
            let area_m2 = passages[x].area_m2;
            if area_m2 <= 0.0 {
                continue;
            }
            let Edge { a, b, .. } = stage.edges[x];
            let (of_a, of_b) = (
                stage.contents.about(about, a),
                stage.contents.about(about, b),
            );
            let (from, to, up, down) = if of_a.gas.p_pa > of_b.gas.p_pa {
                (a, b, of_a, of_b)
            } else {
                (b, a, of_b, of_a)
            };
            let nozzle = nozzle(&Amounts(up.node.n_mol), up.gas.cp_j_mol_k);
            let flow =
                |down_pa: f64| through_mol_s(area_m2, &nozzle, up.gas.p_pa, up.node.gas_k, down_pa);
            let less = (flow(down.gas.p_pa) - flow(down.gas.p_pa * (1.0 + SMALL))) / SMALL;
            if less * step.h_s < MATTERS * up.gas.n_mol.min(down.gas.n_mol) {
                continue;
            }
            if self.list.len() == self.count {
                self.list.push(Valve::default());
            }
            let valve = &mut self.list[self.count];
            (valve.edge, valve.from, valve.to, valve.area_m2) = (x, from, to, area_m2);
            valve.share = [0.0; 3];
            valve.leaves.clear(3);
            let answer = answer::to_a_mole(stage, about, (from, Some(to)), jacobian);
            let mut nearer = answer[to];
            nearer.add(&answer[from], -1.0);
            for (at, row) in nearer.by_point().iter().enumerate() {
                for (j, x) in row.iter().enumerate() {
                    *valve.leaves.at(at, j) = A_INVERSE[at][j] / step.h_s + less * x;
                }
            }
            valve.leaves.factorise();
            self.count += 1;
        }
    }

    /// Corrects the states at the points by what such valves pass there; gives the greatest relative change.
    pub fn correct<V: Vessels>(
        &mut self,
        stage: &Stage<V>,
        shares: &[Shares; MAX_EDGES],
        step: Step,
        correction: &mut Correction,
    ) -> f64 {
        if self.count == 0 {
            return 0.0;
        }
        correction.clear();
        for valve in &mut self.list[..self.count] {
            let (from, to) = (valve.from, valve.to);
            let downhill = stage.edges[valve.edge].a == from;
            let shares = &shares[valve.edge];
            let mut gained: Points = std::array::from_fn(|j| {
                let state = |i: usize| {
                    stage
                        .layout
                        .gas_at(correction.states, stage.layout.row(i), j)
                };
                let (node, there) = (state(from), state(to));
                let (up_pa, down_pa) = (
                    stage.vessels.pressure_pa(from, &node),
                    stage.vessels.pressure_pa(to, &there),
                );
                let cp_j_mol_k = stage.contents.points[from][j].gas.cp_j_mol_k;
                let nozzle = nozzle(&Amounts(node.n_mol), cp_j_mol_k);
                let share = if downhill { shares[j].0 } else { shares[j].1 };
                through_mol_s(valve.area_m2, &nozzle, up_pa, node.gas_k, down_pa)
                    - share * node.total_mol()
            });
            valve.leaves.solve(&mut gained);
            let rates = rates_of(&gained, step.h_s);
            for (j, (share, rate)) in valve.share.iter_mut().zip(rates).enumerate() {
                *share = rate / stage.contents.points[from][j].gas.n_mol;
            }
            pass(stage, to, from, &gained, correction.residual);
        }
        correction.apply()
    }

    /// Takes what the valves were corrected by into the shares of their edges.
    pub fn take_corrections(&self, edges: &[Edge], shares: &mut [Shares; MAX_EDGES]) {
        for valve in &self.list[..self.count] {
            let downhill = edges[valve.edge].a == valve.from;
            for (shares, by) in shares[valve.edge].iter_mut().zip(valve.share) {
                let share = if downhill {
                    &mut shares.0
                } else {
                    &mut shares.1
                };
                *share = (*share + by).max(0.0);
            }
        }
    }
}
