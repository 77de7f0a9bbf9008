//! Compartments that have one pressure, as trees of passages.

use super::outside::Outside;
use crate::layout::Layout;
use crate::steel::MAX_COMPARTMENTS;
use crate::steel::edge::Edge;

/// Compartments that have one pressure, as a tree of open passages from a first one.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tree {
    order: [usize; MAX_COMPARTMENTS],
    count: usize,
    parent: [usize; MAX_COMPARTMENTS],
    via: [usize; MAX_COMPARTMENTS],
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
    #[inline]
    pub fn root(&self) -> usize {
        self.order[0]
    }

    /// All of them, each after the one that leads to it.
    #[inline]
    pub fn members(&self) -> &[usize] {
        &self.order[..self.count]
    }

    /// The one that leads to another than the root.
    #[inline]
    pub fn parent(&self, i: usize) -> usize {
        self.parent[i]
    }

    /// The edge by which it does.
    #[inline]
    pub fn via(&self, i: usize) -> usize {
        self.via[i]
    }

    /// Everything that open edges lead to from a first compartment.
    fn grow(
        root: usize,
        layout: &Layout,
        edges: &[Edge],
        one_pressure: &impl Fn(usize) -> bool,
        seen: &mut [bool; MAX_COMPARTMENTS],
    ) -> Tree {
        let mut tree = Tree::from(root);
        seen[root] = true;
        let mut at = 0;
        while at < tree.count {
            let here = tree.order[at];
            for x in layout.edges().iter().copied().filter(|x| one_pressure(*x)) {
                let Edge { a, b, .. } = edges[x];
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
}

/// Lists what has one pressure, or the outside's, as trees; the roots are those open to the outside, where there are
/// any. An exhaust does not keep a tree up whose gas, taken together, is below the surface's pressure.
pub(crate) fn list(
    layout: &Layout,
    edges: &[Edge],
    one_pressure: impl Fn(usize) -> bool,
    outside: &mut [Outside; MAX_COMPARTMENTS],
    below_surface: impl Fn(&Tree) -> bool,
    trees: &mut Vec<Tree>,
) {
    trees.clear();
    let mut seen = [false; MAX_COMPARTMENTS];
    let any = layout.edges().iter().any(|x| one_pressure(*x));
    for shut in [false, true] {
        for root in layout.members().iter().copied() {
            if seen[root] || (outside[root] == Outside::Shut) != shut || (shut && !any) {
                continue;
            }
            let tree = Tree::grow(root, layout, edges, &one_pressure, &mut seen);
            if tree.count > 1 && outside[root] == Outside::LetDown && below_surface(&tree) {
                outside[root] = Outside::Shut;
            }
            if tree.count > 1 || outside[root] != Outside::Shut {
                trees.push(tree);
            }
        }
    }
}
