//! Levelling: compartments behind open doors have one pressure, a lock open to the deck has the
//! deck's, and a bell open to the sea has the sea's. The gas that must move for it moves from the
//! fuller to the emptier side, with its heat.

use super::core::{Edge, Evaluated, Plant};
use super::frozen::NEAR_PA;
use super::state::{Node, WallModel};
use crate::gas::{self, Amounts, SPECIES, Species};
use crate::plant::MAX_COMPARTMENTS;
use crate::units::R;

/// Compartments that have one pressure, as a tree of open ways from a first one.
struct Tree {
    order: [usize; MAX_COMPARTMENTS],
    count: usize,
    parent: [usize; MAX_COMPARTMENTS],
    via: [usize; MAX_COMPARTMENTS],
}

impl Default for Tree {
    fn default() -> Self {
        Tree {
            order: [0; MAX_COMPARTMENTS],
            count: 0,
            parent: [usize::MAX; MAX_COMPARTMENTS],
            via: [usize::MAX; MAX_COMPARTMENTS],
        }
    }
}

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
        self.each_tree(c, &mut |tree| self.level_tree(tree, e));
    }

    /// Goes through the sets of compartments that have one pressure, each as a tree of open ways.
    fn each_tree(&self, c: usize, act: &mut dyn FnMut(&Tree)) {
        let level: &[usize] = &self.clusters[c].edges;
        let mut tree = Tree::default();
        let mut seen = [false; MAX_COMPARTMENTS];
        for root in self.clusters[c].members.iter().copied() {
            if seen[root] {
                continue;
            }
            tree.order[0] = root;
            tree.count = 1;
            seen[root] = true;
            let mut at = 0;
            while at < tree.count {
                let here = tree.order[at];
                for x in level.iter().copied().filter(|x| self.frozen_edges[*x].level) {
                    let Edge { a, b, .. } = self.edges[x];
                    let other = if a == here { b } else if b == here { a } else { continue };
                    if !seen[other] {
                        seen[other] = true;
                        tree.parent[other] = here;
                        tree.via[other] = x;
                        tree.order[tree.count] = other;
                        tree.count += 1;
                    }
                }
                at += 1;
            }
            if tree.count > 1 {
                act(&tree);
            }
        }
    }

    /// Adds to the frozen ways the net flow that keeps one pressure while compartments gain, lose, warm
    /// and cool: what is left for levelling at the end is of second order.
    pub(super) fn freeze_level_flows(&mut self, c: usize, at: Option<&Evaluated>) {
        if !self.clusters[c].edges.iter().any(|x| self.frozen_edges[*x].level) {
            return;
        }
        let mut flows = [0.0; super::core::MAX_EDGES];
        self.each_tree(c, &mut |tree| self.level_flows(c, tree, at, &mut flows));
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            let Edge { a, b, .. } = self.edges[x];
            let (na, nb) = (self.frozen[a].n_mol, self.frozen[b].n_mol);
            let way = &mut self.frozen_edges[x];
            if flows[x] > 0.0 {
                way.k_ab += flows[x] / na;
            } else {
                way.k_ba -= flows[x] / nb;
            }
        }
    }

    /// Moles per second and heat, W, that a compartment gains from its neighbours over the frozen ways. The
    /// work of the moles that come and go is not in the heat.
    pub(super) fn exchanged(&self, c: usize, i: usize, at: Option<&Evaluated>) -> (f64, f64) {
        let node = |k: usize| at.map_or(&self.nodes[k], |e| &e.node[k]);
        let (mut moles, mut heat_w) = (0.0, 0.0);
        for x in self.clusters[c].edges.iter().copied() {
            let Edge { a, b, .. } = self.edges[x];
            let way = &self.frozen_edges[x];
            let (other, k_in, k_out) = if a == i {
                (b, way.k_ba, way.k_ab)
            } else if b == i {
                (a, way.k_ab, way.k_ba)
            } else {
                continue;
            };
            let coming = k_in * self.frozen[other].n_mol;
            moles += coming - k_out * self.frozen[i].n_mol;
            heat_w += coming * self.frozen[other].cp_j_mol_k * (node(other).gas_k - node(i).gas_k);
        }
        (moles, heat_w)
    }

    /// Net molar flow a to b along each way of a tree, mol/s.
    fn level_flows(&self, c: usize, tree: &Tree, at: Option<&Evaluated>, flows: &mut [f64]) {
        // Moles per relative change of pressure where the gas that comes is not cooled on the way, and the
        // relative change of pressure that a compartment would have by itself, 1/s.
        let mut yields = [0.0; MAX_COMPARTMENTS];
        let mut own = [0.0; MAX_COMPARTMENTS];
        let (mut sum, mut weight) = (0.0, 0.0);
        for i in tree.order[..tree.count].iter().copied() {
            let f = &self.frozen[i];
            let node = at.map_or(self.nodes[i], |e| e.node[i]);
            let isothermal = self.physics.wall == WallModel::Isothermal;
            yields[i] = if isothermal { f.n_mol } else { 1.0 / (1.0 / f.n_mol + R / f.c_j_k) };
            let (net_mol_s, brought_w) = self.exchanged(c, i, at);
            let moles = f.gain_mol_s()
                - f.k_co2 * node.n_mol[Species::Co2.index()]
                - f.k_h2o * node.n_mol[Species::H2o.index()]
                + net_mol_s;
            let heat_w = f.gain_w(&node) + brought_w + (f.push_w_k + net_mol_s * R) * node.gas_k;
            own[i] = moles / f.n_mol;
            if !isothermal {
                own[i] += heat_w / (f.c_j_k * node.gas_k);
            }
            sum += yields[i] * own[i];
            weight += yields[i];
        }
        let common = sum / weight;
        let mut surplus = [0.0; MAX_COMPARTMENTS];
        for i in tree.order[..tree.count].iter().copied() {
            surplus[i] = yields[i] * (own[i] - common);
        }
        for i in tree.order[1..tree.count].iter().rev().copied() {
            let (up, x) = (tree.parent[i], tree.via[i]);
            flows[x] = if self.edges[x].a == i { surplus[i] } else { -surplus[i] };
            surplus[up] += surplus[i];
        }
    }

    fn level_tree(&self, tree: &Tree, e: &mut Evaluated) {
        let Tree { parent, via, .. } = tree;
        let order = &tree.order[..tree.count];
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
            // What stays behind cools as it pushes: pressure falls by gamma times the share let go.
            let gamma = gas::state::gamma(&Amounts(e.node[i].n_mol).fractions());
            let taken = take_gas(&mut e.node[i], excess / gamma);
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
