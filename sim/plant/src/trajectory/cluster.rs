//! Clusters: compartments that exchange gas at present, and so share an anchor.

use crate::steel::MAX_COMPARTMENTS;
use crate::steel::edge::{Edge, EdgeKind};
use serde::{Deserialize, Serialize};

/// Compartments that exchange gas at present; they share an anchor.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Cluster {
    /// Members, ascending.
    pub members: Vec<usize>,
    /// Edges among them that are open.
    pub edges: Vec<usize>,
    /// Second of the anchor.
    pub t_s: i64,
    /// Length of the interval, s.
    pub h_s: i64,
    /// Sub-steps were taken; only the end of the interval is known.
    pub rushed: bool,
    /// Length that the last interval suggests for the next, s; none after something was changed.
    pub next_h_s: Option<f64>,
    /// Length of the last step, s, if the next goes on from it; none after something was changed.
    pub went_s: Option<f64>,
    /// Second at which it must be looked at again: end of interval or a monitor met.
    pub next_s: i64,
    /// A new step must be taken.
    pub dirty: bool,
}

impl Cluster {
    /// Members and edges that have just come together.
    fn new(members: Vec<usize>, edges: Vec<usize>, t_s: i64) -> Cluster {
        Cluster {
            members,
            edges,
            t_s,
            h_s: 0,
            rushed: false,
            next_h_s: None,
            went_s: None,
            next_s: t_s,
            dirty: true,
        }
    }

    /// End of its interval, s.
    #[inline]
    pub fn end_s(&self) -> i64 {
        self.t_s + self.h_s
    }

    /// Something was changed: a new step that goes on from none.
    pub fn touch(&mut self) {
        self.dirty = true;
        self.next_h_s = None;
        self.went_s = None;
    }
}

/// Groups `count` compartments by the edges that `joins` says are open, at `t_s`; clusters that stay as they were, and
/// need no new step, are taken over from `old`.
pub(crate) fn group(
    count: usize,
    edges: &[Edge],
    joins: impl Fn(EdgeKind) -> bool,
    old: &[Cluster],
    t_s: i64,
) -> Vec<Cluster> {
    let mut root: [usize; MAX_COMPARTMENTS] = std::array::from_fn(|i| i);
    let joined: Vec<bool> = edges.iter().map(|edge| joins(edge.kind)).collect();
    for (edge, _) in edges.iter().zip(&joined).filter(|(_, joined)| **joined) {
        let (ra, rb) = (root[edge.a], root[edge.b]);
        let (low, high) = (ra.min(rb), ra.max(rb));
        for r in &mut root[..count] {
            if *r == high {
                *r = low;
            }
        }
    }
    let leads = (0..count).filter(|i| root[*i] == *i);
    let cluster = |lead: usize| {
        let members: Vec<usize> = (lead..count).filter(|i| root[*i] == lead).collect();
        let mine: Vec<usize> = (0..edges.len())
            .filter(|x| joined[*x] && root[edges[*x].a] == lead)
            .collect();
        let kept = old
            .iter()
            .find(|c| c.members == members && c.edges == mine && !c.dirty);
        match kept {
            Some(kept) => kept.clone(),
            None => Cluster::new(members, mine, t_s),
        }
    };
    leads.map(cluster).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn door(d: usize, a: usize, b: usize) -> Edge {
        Edge {
            kind: EdgeKind::Door(d),
            a,
            b,
        }
    }

    #[test]
    fn open_edges_join_and_what_stays_together_keeps_its_anchor() {
        let edges = [door(0, 0, 1), door(1, 3, 2), door(2, 1, 2)];
        let open = |list: &'static [usize]| move |kind: EdgeKind| matches!(kind, EdgeKind::Door(d) if list.contains(&d));
        let of = |clusters: &[Cluster]| -> Vec<Vec<usize>> {
            clusters.iter().map(|c| c.members.clone()).collect()
        };
        let mut first = group(5, &edges, open(&[0, 1]), &[], 10);
        assert_eq!(of(&first), [vec![0, 1], vec![2, 3], vec![4]]);
        for cluster in &mut first {
            (cluster.dirty, cluster.h_s) = (false, 60);
        }
        let second = group(5, &edges, open(&[1]), &first, 20);
        assert_eq!(of(&second), [vec![0], vec![1], vec![2, 3], vec![4]]);
        let anchors: Vec<i64> = second.iter().map(|c| c.t_s).collect();
        assert_eq!(anchors, [20, 20, 10, 10]);
        let all = group(5, &edges, open(&[0, 1, 2]), &first, 30);
        assert_eq!(of(&all), [vec![0, 1, 2, 3], vec![4]]);
        assert_eq!(all[0].edges, [0, 1, 2]);
    }
}
