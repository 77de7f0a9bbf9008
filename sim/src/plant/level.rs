//! Levelling: compartments behind open doors have one pressure, a lock open to the deck has the
//! deck's, and a bell open to the sea has the sea's. The gas that must move for it moves from the
//! fuller to the emptier side, with its heat.

use super::core::{Edge, Evaluated, Plant};
use super::frozen::NEAR_PA;
use super::state::Node;
use crate::gas::{self, Amounts, SPECIES};
use crate::plant::MAX_COMPARTMENTS;
use crate::units::R;

impl Plant {
    /// Levels what is open to one another, to the deck and to the sea, in a state at a second.
    pub(super) fn level(&self, c: usize, t_s: i64, e: &mut Evaluated) {
        let cluster = &self.clusters[c];
        if cluster.edges.iter().any(|x| self.frozen_edges[*x].level) {
            self.level_inside(c, e);
        }
        for i in cluster.members.iter().copied() {
            self.level_outside(c, i, t_s, e);
        }
    }

    /// Moles per pascal at the compartment's temperature and compressibility.
    fn capacity(&self, i: usize, node: &Node) -> f64 {
        let n: f64 = node.n_mol.iter().sum();
        n / self.pressure_pa(i, node)
    }

    fn level_inside(&self, c: usize, e: &mut Evaluated) {
        let members = &self.clusters[c].members;
        let level: &[usize] = &self.clusters[c].edges;
        let mut parent = [usize::MAX; MAX_COMPARTMENTS];
        let mut via = [usize::MAX; MAX_COMPARTMENTS];
        let mut order = [0usize; MAX_COMPARTMENTS];
        let mut seen = [false; MAX_COMPARTMENTS];
        for root in members.iter().copied() {
            if seen[root] {
                continue;
            }
            let mut count = 1;
            order[0] = root;
            seen[root] = true;
            let mut at = 0;
            while at < count {
                let here = order[at];
                for x in level.iter().copied().filter(|x| self.frozen_edges[*x].level) {
                    let Edge { a, b, .. } = self.edges[x];
                    let other = if a == here { b } else if b == here { a } else { continue };
                    if !seen[other] {
                        seen[other] = true;
                        parent[other] = here;
                        via[other] = x;
                        order[count] = other;
                        count += 1;
                    }
                }
                at += 1;
            }
            if count > 1 {
                self.level_tree(&order[..count], &parent, &via, e);
            }
        }
    }

    fn level_tree(&self, order: &[usize], parent: &[usize], via: &[usize], e: &mut Evaluated) {
        let mut capacity = [0.0; MAX_COMPARTMENTS];
        let (mut moles, mut room) = (0.0, 0.0);
        for i in order.iter().copied() {
            capacity[i] = self.capacity(i, &e.node[i]);
            moles += e.node[i].n_mol.iter().sum::<f64>();
            room += capacity[i];
        }
        let p_pa = moles / room;
        for i in order[1..].iter().rev().copied() {
            let excess = e.node[i].n_mol.iter().sum::<f64>() - p_pa * capacity[i];
            let (from, to, amount) = if excess >= 0.0 { (i, parent[i], excess) } else { (parent[i], i, -excess) };
            let moved = move_gas(&mut e.node, from, to, amount);
            let sign = if self.edges[via[i]].a == from { 1.0 } else { -1.0 };
            for (net, m) in e.edge[via[i]].iter_mut().zip(moved) {
                *net += sign * m;
            }
        }
    }

    fn level_outside(&self, c: usize, i: usize, t_s: i64, e: &mut Evaluated) {
        let set = &self.settings[i];
        let bell = self.steel.compartments[i].bell.is_some();
        let surface = self.steel.surface_pa;
        let p_pa = self.pressure_pa(i, &e.node[i]);
        let target = if set.open_outside {
            if bell { self.sea_pa(i, t_s) } else { surface }
        } else {
            let letting = set.exhaust.opening() > 0.0 || set.bleed.opening() > 0.0;
            if !letting || (p_pa - surface).abs() >= NEAR_PA || p_pa < surface {
                return;
            }
            surface
        };
        let n: f64 = e.node[i].n_mol.iter().sum();
        let excess = n - n * target / p_pa;
        if excess >= 0.0 {
            let taken = take_gas(&mut e.node[i], excess);
            for (s, t) in e.spill[i].iter_mut().zip(taken) {
                *s += t;
            }
            return;
        }
        if set.open_outside && !bell {
            let in_mol = Amounts::air().scaled(-excess);
            for (n, x) in e.node[i].n_mol.iter_mut().zip(in_mol.0) {
                *n += x;
            }
            for (s, x) in e.spill[i].iter_mut().zip(in_mol.0) {
                *s -= x;
            }
        } else if let Some(bank) = set.supply_bank.filter(|b| bell && self.bank_pa(*b, self.clusters[c].t_s) > target) {
            let mix = self.bank_mix(bank);
            for (n, x) in e.node[i].n_mol.iter_mut().zip(mix.0) {
                *n += x * -excess;
            }
            e.top_up[i] += -excess;
        }
    }
}

/// Moves moles from one compartment's gas to another's, with enthalpy, and gives what moved.
fn move_gas(nodes: &mut [Node], from: usize, to: usize, amount: f64) -> [f64; SPECIES] {
    if amount <= 0.0 {
        return [0.0; SPECIES];
    }
    let hot_k = nodes[from].gas_k;
    let moved = take_gas(&mut nodes[from], amount);
    let x = Amounts(moved).scaled(1.0 / amount);
    let (cp, cv_in) = (gas::state::cp_j_mol_k(&x), gas::state::cp_j_mol_k(&x) - R);
    let there = &mut nodes[to];
    let c_j_k = gas::state::cv_j_k(&Amounts(there.n_mol), there.gas_k);
    there.gas_k = (c_j_k * there.gas_k + amount * cp * hot_k) / (c_j_k + amount * cv_in);
    for (n, m) in there.n_mol.iter_mut().zip(moved) {
        *n += m;
    }
    moved
}

/// Takes moles out of a compartment's gas, which cools by the work it does.
fn take_gas(node: &mut Node, amount: f64) -> [f64; SPECIES] {
    let before = Amounts(node.n_mol);
    let total = before.total();
    let moved = before.scaled(amount / total).0;
    let c_j_k = gas::state::cv_j_k(&before, node.gas_k);
    let cv = c_j_k / total;
    node.gas_k = (c_j_k - amount * (cv + R)) * node.gas_k / (c_j_k - amount * cv);
    for (n, m) in node.n_mol.iter_mut().zip(moved) {
        *n -= m;
    }
    moved
}
