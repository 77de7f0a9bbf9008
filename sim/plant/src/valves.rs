//! Valves between compartments whose pressures come together: what flows goes by the difference, and the
//! difference soon by what has flowed. The states at the points are put right for that too, from what the
//! pressures answer to a mole that passes.

use super::bench::Bench;
use super::core::{Edge, Plant};
use super::dense::Dense;
use super::freeze::through_mol_s;
use super::frozen::Frozen;
use super::radau::RATES;
use super::state::Node;
use super::step::rates_of;
use deepstay_core::gas::Amounts;
use deepstay_core::gas::flow::Nozzle;

/// Small relative rise of the lower pressure, from which is taken how the flow answers to it.
const SMALL: f64 = 1e-6;
/// Share of what passes by which the flow must answer over a step to be put right for it.
const MATTERS: f64 = 0.02;

/// A valve whose flow answers to what has flowed.
#[derive(Clone, Debug, Default)]
pub(super) struct Valve {
    edge: usize,
    from: usize,
    to: usize,
    area_m2: f64,
    /// What the flow and the pressures leave of a flow at the points that is too great.
    leaves: Dense,
}

impl Plant {
    /// Finds the valves of a cluster whose flow answers to what has flowed, as at the start or as at a point.
    pub(super) fn set_valves(&self, c: usize, point: Option<usize>, b: &mut Bench) {
        let mut valves = std::mem::take(&mut b.valves);
        let mut count = 0;
        for x in self.clusters[c].edges.iter().copied() {
            b.valve_share[x] = [0.0; 3];
            let area_m2 = self.valve_area_m2(x);
            if self.ways[x].level || area_m2 <= 0.0 {
                continue;
            }
            let Edge { a, b: to, .. } = self.edges[x];
            let (one, other) = (self.state_for(a, point, b), self.state_for(to, point, b));
            let (from, to, up, down) = if one.1.p_pa > other.1.p_pa {
                (a, to, one, other)
            } else {
                (to, a, other, one)
            };
            let nozzle = nozzle(up.0, up.1.cp_j_mol_k);
            let flow =
                |down_pa: f64| through_mol_s(area_m2, &nozzle, up.1.p_pa, up.0.gas_k, down_pa);
            let less = (flow(down.1.p_pa) - flow(down.1.p_pa * (1.0 + SMALL))) / SMALL;
            if less * b.h_s < MATTERS * up.1.n_mol.min(down.1.n_mol) {
                continue;
            }
            if valves.len() == count {
                valves.push(Valve::default());
            }
            let valve = &mut valves[count];
            (valve.edge, valve.from, valve.to, valve.area_m2) = (x, from, to, area_m2);
            valve.leaves.clear(3);
            for j in 0..3 {
                let answer = self.answer_to_a_mole(c, from, Some(to), j, point, b);
                for at in 0..3 {
                    let nearer = answer[to][at] - answer[from][at];
                    *valve.leaves.at(at, j) = RATES[at][j] / b.h_s + less * nearer;
                }
            }
            valve.leaves.factorise();
            count += 1;
        }
        valves.truncate(count);
        b.valves = valves;
    }

    fn state_for<'a>(
        &'a self,
        i: usize,
        point: Option<usize>,
        b: &'a Bench,
    ) -> (&'a Node, &'a Frozen) {
        match point {
            None => (&self.nodes[i], &b.start[i]),
            Some(j) => (&b.used[i][j], &b.frozen[i][j]),
        }
    }

    /// Puts the states at the points right by what such valves pass there; gives the greatest relative change.
    pub(super) fn put_valves_right(&self, c: usize, h_s: f64, b: &mut Bench) -> f64 {
        if b.valves.is_empty() {
            return 0.0;
        }
        b.left.clear(self.clusters[c].members.len());
        let valves = std::mem::take(&mut b.valves);
        for valve in &valves {
            let Valve {
                edge,
                from,
                to,
                area_m2,
                ref leaves,
            } = *valve;
            let downhill = self.edges[edge].a == from;
            let mut gained: [f64; 3] = std::array::from_fn(|j| {
                let node = &b.node[from][j];
                let (up_pa, down_pa) = (
                    self.pressure_pa(from, node),
                    self.pressure_pa(to, &b.node[to][j]),
                );
                let nozzle = nozzle(node, b.frozen[from][j].cp_j_mol_k);
                let share = if downhill {
                    b.point_share[edge][j].0
                } else {
                    b.point_share[edge][j].1
                };
                through_mol_s(area_m2, &nozzle, up_pa, node.gas_k, down_pa)
                    - share * node.n_mol.iter().sum::<f64>()
            });
            leaves.solve(&mut gained);
            let rates = rates_of(&gained, h_s);
            for j in 0..3 {
                b.valve_share[edge][j] = rates[j] / b.frozen[from][j].n_mol;
            }
            self.pass(c, to, from, &gained, b);
        }
        b.valves = valves;
        self.respond(c, b)
    }

    /// Takes what the valves were put right by into their shares.
    pub(super) fn take_valves(&self, b: &mut Bench) {
        for k in 0..b.valves.len() {
            let Valve { edge, from, .. } = b.valves[k];
            let downhill = self.edges[edge].a == from;
            for j in 0..3 {
                let (ab, ba) = &mut b.point_share[edge][j];
                let share = if downhill { ab } else { ba };
                *share = (*share + b.valve_share[edge][j]).max(0.0);
            }
        }
    }
}

/// What a compartment's gas brings to its flow through an opening.
pub(super) fn nozzle(node: &Node, cp_j_mol_k: f64) -> Nozzle {
    let n = Amounts(node.n_mol);
    Nozzle::with_cp(&n.scaled(1.0 / n.total()), cp_j_mol_k)
}
