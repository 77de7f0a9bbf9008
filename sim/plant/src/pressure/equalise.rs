//! Pressures brought to one at once, where a way has just been opened: portion by portion, so that none is a
//! large share of a vessel it passes, until they are one.

use super::outside::Outside;
use super::stage::Vessels;
use super::tree::Tree;
use crate::state::node::Node;
use crate::steel::edge::Edge;
use crate::steel::{MAX_COMPARTMENTS, MAX_EDGES};
use deepstay_core::gas::{self, Amounts, SPECIES};
use deepstay_core::units::R;

/// Pressures this close, relatively, are one.
const ONE_PRESSURE: f64 = 1e-9;
/// Most passes to bring pressures to one at once.
const MOST_PASSES: usize = 20;
/// Largest share of a compartment's contents that passes it at once, and most portions.
const PORTION: f64 = 0.1;
const MOST_PORTIONS: f64 = 1e4;

/// Gas that moved at once.
#[derive(Clone, Debug)]
pub(crate) struct Moved {
    /// Net a to b along an edge, mol.
    pub edge: [[f64; SPECIES]; MAX_EDGES],
    /// Out of a compartment (in: below zero), mol.
    pub spilt: [[f64; SPECIES]; MAX_COMPARTMENTS],
    /// In from its bank, mol.
    pub topped: [[f64; SPECIES]; MAX_COMPARTMENTS],
}

impl Default for Moved {
    fn default() -> Self {
        Moved {
            edge: [[0.0; SPECIES]; MAX_EDGES],
            spilt: [[0.0; SPECIES]; MAX_COMPARTMENTS],
            topped: [[0.0; SPECIES]; MAX_COMPARTMENTS],
        }
    }
}

/// The outside of a tree's root.
pub(crate) struct RootOutside<F> {
    /// What keeps the root's pressure.
    pub outside: Outside,
    /// The pressure there, Pa, if it does.
    pub target_pa: Option<f64>,
    /// What comes in from outside at a pressure of the root's, Pa, and its temperature, K; none if nothing can.
    pub incoming: F,
}

/// Brings the pressures of a tree to one; adds what moved for it.
pub(crate) fn equalise<V: Vessels, F: Fn(f64) -> Option<(Amounts, f64)>>(
    vessels: &V,
    edges: &[Edge],
    tree: &Tree,
    root: &RootOutside<F>,
    nodes: &mut [Node; MAX_COMPARTMENTS],
    moved: &mut Option<Box<Moved>>,
) {
    let first = tree.root();
    for _ in 0..MOST_PASSES {
        let (mut p_pa, mut yields) = ([0.0; MAX_COMPARTMENTS], [0.0; MAX_COMPARTMENTS]);
        let mut worst = 0.0f64;
        for i in tree.members().iter().copied() {
            p_pa[i] = vessels.pressure_pa(i, &nodes[i]);
            yields[i] = yield_mol(&nodes[i], vessels.isothermal());
            let base = root.target_pa.unwrap_or(p_pa[first]);
            worst = worst.max((p_pa[i] / base - 1.0).abs());
        }
        if worst < ONE_PRESSURE {
            break;
        }
        let surplus = surplus(tree, &p_pa, &yields, root.target_pa);
        let moved = moved.get_or_insert_with(Box::default);
        let portions = portions(tree, nodes, &surplus);
        let portion = surplus.map(|mol| mol / portions);
        for _ in 0..portions as u32 {
            if !pass_portion(vessels, edges, tree, root, &portion, nodes, moved) {
                break;
            }
        }
        if root.target_pa.is_some()
            && surplus[first] < 0.0
            && (root.incoming)(p_pa[first]).is_none()
        {
            break;
        }
    }
}

/// Moles to move for one pressure: along each passage of a tree towards its root, and out at the root.
fn surplus(
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
        surplus[tree.parent(i)] += surplus[i];
    }
    surplus
}

/// In how many portions moles must pass along a tree so that none is a large share of a compartment it passes.
fn portions(
    tree: &Tree,
    nodes: &[Node; MAX_COMPARTMENTS],
    surplus: &[f64; MAX_COMPARTMENTS],
) -> f64 {
    let contents = |i: usize| nodes[i].total_mol();
    let most = |i: usize| {
        let least = if i == tree.root() {
            contents(i)
        } else {
            contents(i).min(contents(tree.parent(i)))
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
fn pass_portion<V: Vessels, F: Fn(f64) -> Option<(Amounts, f64)>>(
    vessels: &V,
    edges: &[Edge],
    tree: &Tree,
    root: &RootOutside<F>,
    mol: &[f64; MAX_COMPARTMENTS],
    nodes: &mut [Node; MAX_COMPARTMENTS],
    moved: &mut Moved,
) -> bool {
    let isothermal = vessels.isothermal();
    for i in tree.members()[1..].iter().rev().copied() {
        let (up, x) = (tree.parent(i), tree.via(i));
        let (from, to) = if mol[i] >= 0.0 { (i, up) } else { (up, i) };
        let hot_k = nodes[from].gas_k;
        let passed = take(&mut nodes[from], mol[i].abs(), isothermal);
        bring(&mut nodes[to], &passed, hot_k, isothermal);
        let sign = if edges[x].a == from { 1.0 } else { -1.0 };
        add(&mut moved.edge[x], &passed, sign);
    }
    let first = tree.root();
    if root.outside == Outside::Shut {
        return true;
    }
    let p_pa = vessels.pressure_pa(first, &nodes[first]);
    if mol[first] >= 0.0 {
        let taken = take(&mut nodes[first], mol[first], isothermal);
        add(&mut moved.spilt[first], &taken, 1.0);
        return true;
    }
    let Some((mix, t_k)) = (root.incoming)(p_pa) else {
        return false;
    };
    let coming = mix.scaled(-mol[first]).0;
    bring(&mut nodes[first], &coming, t_k, isothermal);
    match root.outside {
        Outside::Sea => add(&mut moved.topped[first], &coming, 1.0),
        _ => add(&mut moved.spilt[first], &coming, -1.0),
    }
    true
}

/// Moles per relative change of pressure.
pub(crate) fn yield_mol(node: &Node, isothermal: bool) -> f64 {
    let n = Amounts(node.n_mol);
    let total = n.total();
    if isothermal {
        return total;
    }
    1.0 / (1.0 / total + R / gas::state::cv_j_k(&n, node.gas_k))
}

/// Brings gas of a temperature into a compartment, whose gas it presses together.
fn bring(there: &mut Node, coming: &[f64; SPECIES], t_k: f64, isothermal: bool) {
    let mol: f64 = coming.iter().sum();
    if mol > 0.0 && !isothermal {
        let cp = gas::state::cp_j_mol_k(&Amounts(*coming));
        let c_j_k = gas::state::cv_j_k(&Amounts(there.n_mol), there.gas_k);
        there.gas_k = (c_j_k * there.gas_k + mol * cp * t_k) / (c_j_k + mol * (cp - R));
    }
    add(&mut there.n_mol, coming, 1.0);
}

/// Takes moles out of a compartment's gas, which cools by the work it does.
fn take(node: &mut Node, mol: f64, isothermal: bool) -> [f64; SPECIES] {
    let before = Amounts(node.n_mol);
    let total = before.total();
    let taken = before.scaled(mol / total).0;
    if !isothermal {
        let c_j_k = gas::state::cv_j_k(&before, node.gas_k);
        let cv = c_j_k / total;
        node.gas_k = (c_j_k - mol * (cv + R)) * node.gas_k / (c_j_k - mol * cv);
    }
    add(&mut node.n_mol, &taken, -1.0);
    taken
}

fn add(to: &mut [f64; SPECIES], part: &[f64; SPECIES], sign: f64) {
    for (sum, x) in to.iter_mut().zip(part) {
        *sum += sign * x;
    }
}
