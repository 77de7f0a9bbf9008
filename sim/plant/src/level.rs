//! Levelling: compartments behind open doors have one pressure, a lock open to the deck has the
//! deck's, and a bell open to the sea has the sea's. The gas that must move for it moves from the
//! fuller to the emptier side, with its heat: at once where a door has just been opened, and over an
//! interval as a flow that keeps the pressures one at its points.

use super::bench::Bench;
use super::core::{Edge, EdgeKind, Plant};
use super::slots::Slot;
use super::state::{Node, WallModel};
use super::step::near;
use crate::{MAX_COMPARTMENTS, MAX_EDGES};
use deepstay_core::gas::{self, Amounts, SPECIES};
use deepstay_core::units::R;

/// What keeps a compartment's pressure from outside.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Outside {
    /// Nothing.
    #[default]
    Shut,
    /// The sea under an open bell.
    Sea,
    /// The deck at an open lock.
    Deck,
    /// The surface, through an exhaust that has let it down.
    LetDown,
}

/// Compartments that have one pressure, as a tree of open ways from a first one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tree {
    order: [usize; MAX_COMPARTMENTS],
    count: usize,
    pub parent: [usize; MAX_COMPARTMENTS],
    pub via: [usize; MAX_COMPARTMENTS],
}

impl Tree {
    fn from(root: usize) -> Tree {
        let mut order = [0; MAX_COMPARTMENTS];
        order[0] = root;
        Tree {
            order,
            count: 1,
            parent: [usize::MAX; MAX_COMPARTMENTS],
            via: [usize::MAX; MAX_COMPARTMENTS],
        }
    }

    /// The first; the one that is open to the outside, if one is.
    pub fn root(&self) -> usize {
        self.order[0]
    }

    /// All of them, each after the one that leads to it.
    pub fn members(&self) -> &[usize] {
        &self.order[..self.count]
    }
}

/// Gas that moved at once.
#[derive(Clone, Debug)]
pub(super) struct Shift {
    /// Net a to b along an edge, mol.
    pub edge: [[f64; SPECIES]; MAX_EDGES],
    /// Out of a compartment (in: below zero), mol.
    pub spilt: [[f64; SPECIES]; MAX_COMPARTMENTS],
    /// In from its bank, mol.
    pub topped: [[f64; SPECIES]; MAX_COMPARTMENTS],
}

impl Default for Shift {
    fn default() -> Self {
        Shift {
            edge: [[0.0; SPECIES]; MAX_EDGES],
            spilt: [[0.0; SPECIES]; MAX_COMPARTMENTS],
            topped: [[0.0; SPECIES]; MAX_COMPARTMENTS],
        }
    }
}

/// Pressures this close, relatively, are one.
const ONE_PRESSURE: f64 = 1e-9;
/// Most passes to bring pressures to one at once.
const MOST_PASSES: usize = 20;
/// Largest share of a compartment's contents that passes it at once, and most portions.
const PORTION: f64 = 0.1;
const MOST_PORTIONS: f64 = 1e4;

impl Plant {
    /// Finds what has one pressure over the coming step, and lists it as trees.
    pub(super) fn find_level(&mut self, c: usize, b: &mut Bench) {
        b.trees.clear();
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            let Edge { kind, a, b: to } = self.edges[x];
            let open = matches!(kind, EdgeKind::Door(d) if self.doors[d].open);
            self.ways[x].level = open || {
                near(
                    self.pressure_pa(a, &self.nodes[a]),
                    self.pressure_pa(to, &self.nodes[to]),
                )
            };
        }
        let cluster = &self.clusters[c];
        for i in cluster.members.iter().copied() {
            b.outside[i] = self.outside_of(i);
        }
        let mut seen = [false; MAX_COMPARTMENTS];
        let any = cluster.edges.iter().any(|x| self.ways[*x].level);
        for shut in [false, true] {
            for root in cluster.members.iter().copied() {
                if seen[root] || (b.outside[root] == Outside::Shut) != shut || (shut && !any) {
                    continue;
                }
                let tree = self.tree_from(c, root, &mut seen);
                if tree.count > 1
                    && b.outside[root] == Outside::LetDown
                    && self.below_surface(&tree)
                {
                    b.outside[root] = Outside::Shut;
                }
                if tree.count > 1 || b.outside[root] != Outside::Shut {
                    b.trees.push(tree);
                }
            }
        }
    }

    /// Whether compartments that have one pressure, or are about to, have one below the surface's.
    fn below_surface(&self, tree: &Tree) -> bool {
        let above = |i: usize| {
            (self.pressure_pa(i, &self.nodes[i]) / self.steel.surface_pa - 1.0)
                * self.yields(&self.nodes[i])
        };
        tree.members().iter().map(|i| above(*i)).sum::<f64>() < 0.0
    }

    fn outside_of(&self, i: usize) -> Outside {
        let set = &self.settings[i];
        if set.open_outside {
            return if self.steel.compartments[i].bell.is_some() {
                Outside::Sea
            } else {
                Outside::Deck
            };
        }
        if set.exhaust.opening() <= 0.0 && set.bleed.opening() <= 0.0 {
            return Outside::Shut;
        }
        let surface = self.steel.surface_pa;
        let p_pa = self.pressure_pa(i, &self.nodes[i]);
        // A compartment below the surface's pressure draws nothing in through its exhaust.
        if near(p_pa, surface) && p_pa >= surface * (1.0 - 1e-6) {
            Outside::LetDown
        } else {
            Outside::Shut
        }
    }

    fn tree_from(&self, c: usize, root: usize, seen: &mut [bool; MAX_COMPARTMENTS]) -> Tree {
        let mut tree = Tree::from(root);
        seen[root] = true;
        let mut at = 0;
        while at < tree.count {
            let here = tree.order[at];
            for x in self.clusters[c]
                .edges
                .iter()
                .copied()
                .filter(|x| self.ways[*x].level)
            {
                let Edge { a, b, .. } = self.edges[x];
                let other = if a == here {
                    b
                } else if b == here {
                    a
                } else {
                    continue;
                };
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
        tree
    }

    pub(super) fn target_pa(&self, i: usize, outside: Outside, t_s: f64) -> Option<f64> {
        match outside {
            Outside::Shut => None,
            Outside::Sea => Some(self.sea_pa(i, t_s)),
            Outside::Deck | Outside::LetDown => Some(self.steel.surface_pa),
        }
    }

    /// Moles to move for one pressure: along each way of a tree towards its root, and out at the root.
    fn surplus(
        &self,
        tree: &Tree,
        p_pa: &[f64; MAX_COMPARTMENTS],
        yields: &[f64; MAX_COMPARTMENTS],
        target_pa: Option<f64>,
    ) -> [f64; MAX_COMPARTMENTS] {
        // Relative to the root's, so that equal pressures give exactly nothing.
        let base = target_pa.unwrap_or(p_pa[tree.root()]);
        let above = |i: usize| libm::log1p((p_pa[i] - base) / base);
        let common = match target_pa {
            Some(_) => 0.0,
            None => {
                let weight: f64 = tree.members().iter().map(|i| yields[*i]).sum();
                tree.members()
                    .iter()
                    .map(|i| yields[*i] * above(*i))
                    .sum::<f64>()
                    / weight
            }
        };
        let mut surplus = [0.0; MAX_COMPARTMENTS];
        for i in tree.members().iter().copied() {
            surplus[i] = yields[i] * (above(i) - common);
        }
        for i in tree.members()[1..].iter().rev().copied() {
            surplus[tree.parent[i]] += surplus[i];
        }
        surplus
    }

    /// Brings the anchor's pressures to one where a way has just been opened. Gives what moved, if anything did.
    pub(super) fn level_now(&mut self, t_s: f64, b: &mut Bench) -> Option<Box<Shift>> {
        let mut shift: Option<Box<Shift>> = None;
        for tree in &b.trees {
            let root = tree.root();
            let outside = b.outside[root];
            let target_pa = self.target_pa(root, outside, t_s);
            for _ in 0..MOST_PASSES {
                let (mut p_pa, mut yields) = ([0.0; MAX_COMPARTMENTS], [0.0; MAX_COMPARTMENTS]);
                let mut worst = 0.0f64;
                for i in tree.members().iter().copied() {
                    p_pa[i] = self.pressure_pa(i, &self.nodes[i]);
                    yields[i] = self.yields(&self.nodes[i]);
                    let base = target_pa.unwrap_or(p_pa[root]);
                    worst = worst.max((p_pa[i] / base - 1.0).abs());
                }
                if worst < ONE_PRESSURE {
                    break;
                }
                let surplus = self.surplus(tree, &p_pa, &yields, target_pa);
                let shift = shift.get_or_insert_with(Box::default);
                let portions = self.portions(tree, &surplus);
                for _ in 0..portions as u32 {
                    if !self.pass_portion(
                        tree,
                        &surplus.map(|mol| mol / portions),
                        outside,
                        t_s,
                        shift,
                    ) {
                        break;
                    }
                }
                if target_pa.is_some()
                    && surplus[root] < 0.0
                    && !self.comes(root, outside, p_pa[root], t_s)
                {
                    break;
                }
            }
        }
        shift
    }

    /// In how many portions moles must pass along a tree so that none is a large share of a compartment it passes.
    fn portions(&self, tree: &Tree, surplus: &[f64; MAX_COMPARTMENTS]) -> f64 {
        let contents = |i: usize| Amounts(self.nodes[i].n_mol).total();
        let most = |i: usize| {
            let least = if i == tree.root() {
                contents(i)
            } else {
                contents(i).min(contents(tree.parent[i]))
            };
            surplus[i].abs() / (PORTION * least)
        };
        tree.members()
            .iter()
            .map(|i| most(*i))
            .fold(1.0, f64::max)
            .ceil()
            .min(MOST_PORTIONS)
    }

    /// Passes moles along a tree towards its root, and out there; false if nothing can come in from outside.
    fn pass_portion(
        &mut self,
        tree: &Tree,
        mol: &[f64; MAX_COMPARTMENTS],
        outside: Outside,
        t_s: f64,
        shift: &mut Shift,
    ) -> bool {
        for i in tree.members()[1..].iter().rev().copied() {
            let (up, x) = (tree.parent[i], tree.via[i]);
            let (from, to) = if mol[i] >= 0.0 { (i, up) } else { (up, i) };
            let moved = self.move_gas(from, to, mol[i].abs());
            let sign = if self.edges[x].a == from { 1.0 } else { -1.0 };
            add(&mut shift.edge[x], &moved, sign);
        }
        let root = tree.root();
        let p_pa = self.pressure_pa(root, &self.nodes[root]);
        outside == Outside::Shut || self.let_out(root, outside, mol[root], p_pa, t_s, shift)
    }

    /// Lets gas out of a compartment open to the outside, or takes it in; false if nothing can come in.
    fn let_out(
        &mut self,
        i: usize,
        outside: Outside,
        mol: f64,
        p_pa: f64,
        t_s: f64,
        shift: &mut Shift,
    ) -> bool {
        if mol >= 0.0 {
            let taken = self.take_gas(i, mol);
            add(&mut shift.spilt[i], &taken, 1.0);
            return true;
        }
        if !self.comes(i, outside, p_pa, t_s) {
            return false;
        }
        let mut bank_mol = [0.0; crate::MAX_BANKS];
        if let Some(bank) = self.settings[i].supply_bank {
            bank_mol[bank.index()] = self.bank_at(bank, t_s as i64).total();
        }
        let (mix, t_k) = self.comes_in(i, p_pa, &bank_mol, outside);
        let coming = mix.scaled(-mol).0;
        self.bring_gas(i, &coming, t_k);
        match outside {
            Outside::Sea => add(&mut shift.topped[i], &coming, 1.0),
            _ => add(&mut shift.spilt[i], &coming, -1.0),
        }
        true
    }

    /// Whether gas can come into a compartment that is below the pressure outside.
    pub(super) fn comes(&self, i: usize, outside: Outside, p_pa: f64, t_s: f64) -> bool {
        match outside {
            Outside::Shut | Outside::LetDown => false,
            Outside::Deck => true,
            Outside::Sea => self.settings[i]
                .supply_bank
                .is_some_and(|b| self.bank_pa(b, t_s as i64) > p_pa),
        }
    }

    /// Moles per relative change of pressure.
    fn yields(&self, node: &Node) -> f64 {
        let n = Amounts(node.n_mol);
        let total = n.total();
        if self.physics.wall == WallModel::Isothermal {
            return total;
        }
        1.0 / (1.0 / total + R / gas::state::cv_j_k(&n, node.gas_k))
    }

    /// Stores what kept a compartment's pressure from outside as flows of its course.
    pub(super) fn keep_out(&mut self, i: usize, b: &Bench) {
        let outside = b.outside[i];
        if outside == Outside::Shut {
            return;
        }
        for j in 0..3 {
            let out = b.out[i][j];
            if out >= 0.0 {
                let node = &b.used[i][j];
                let share = out / node.n_mol.iter().sum::<f64>();
                *self.courses[i].at(Slot::Spill, j) = node.n_mol.map(|n| share * n);
            } else {
                let (mix, _) = self.comes_in(i, b.start[i].p_pa, &b.bank[j], outside);
                let (slot, sign) = if outside == Outside::Sea {
                    (Slot::TopUp, 1.0)
                } else {
                    (Slot::Spill, -1.0)
                };
                *self.courses[i].at(slot, j) = mix.scaled(-sign * out).0;
            }
        }
    }

    /// Moves moles from one compartment's gas to another's, with enthalpy, and gives what moved.
    fn move_gas(&mut self, from: usize, to: usize, mol: f64) -> [f64; SPECIES] {
        let hot_k = self.nodes[from].gas_k;
        let moved = self.take_gas(from, mol);
        self.bring_gas(to, &moved, hot_k);
        moved
    }

    /// Brings gas of a temperature into a compartment, whose gas it presses together.
    fn bring_gas(&mut self, to: usize, coming: &[f64; SPECIES], t_k: f64) {
        let mol: f64 = coming.iter().sum();
        let there = &mut self.nodes[to];
        if mol > 0.0 && self.physics.wall != WallModel::Isothermal {
            let cp = gas::state::cp_j_mol_k(&Amounts(*coming));
            let c_j_k = gas::state::cv_j_k(&Amounts(there.n_mol), there.gas_k);
            there.gas_k = (c_j_k * there.gas_k + mol * cp * t_k) / (c_j_k + mol * (cp - R));
        }
        add(&mut there.n_mol, coming, 1.0);
    }

    /// Takes moles out of a compartment's gas, which cools by the work it does.
    fn take_gas(&mut self, from: usize, mol: f64) -> [f64; SPECIES] {
        let isothermal = self.physics.wall == WallModel::Isothermal;
        let node = &mut self.nodes[from];
        let before = Amounts(node.n_mol);
        let total = before.total();
        let moved = before.scaled(mol / total).0;
        if !isothermal {
            let c_j_k = gas::state::cv_j_k(&before, node.gas_k);
            let cv = c_j_k / total;
            node.gas_k = (c_j_k - mol * (cv + R)) * node.gas_k / (c_j_k - mol * cv);
        }
        add(&mut node.n_mol, &moved, -1.0);
        moved
    }
}

fn add(to: &mut [f64; SPECIES], part: &[f64; SPECIES], sign: f64) {
    for (sum, x) in to.iter_mut().zip(part) {
        *sum += sign * x;
    }
}
