//! The trajectories of all compartments: anchors, and what leads from them. Evaluating stores nothing.

use super::cluster::{Cluster, group};
use super::evaluated::Evaluated;
use super::interpolant::{EdgeInterpolant, Interpolant, moved};
use super::pending::Pending;
use crate::solver::interpolant::Weights;
use crate::state::node::Node;
use crate::steel::edge::{Edge, EdgeKind};
use deepstay_core::gas::SPECIES;
use serde::{Deserialize, Serialize};

/// Anchors and interpolants of every compartment, by cluster.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Trajectories {
    clusters: Vec<Cluster>,
    cluster_of: Vec<usize>,
    anchors: Vec<Node>,
    ends: Vec<Node>,
    interpolants: Vec<Interpolant>,
    edges: Vec<EdgeInterpolant>,
    pending: Pending,
}

impl Trajectories {
    /// Compartments in these states, each for itself.
    pub fn new(nodes: Vec<Node>, edges: usize) -> Trajectories {
        let count = nodes.len();
        Trajectories {
            clusters: Vec::new(),
            cluster_of: vec![0; count],
            ends: nodes.clone(),
            anchors: nodes,
            interpolants: vec![Interpolant::default(); count],
            edges: vec![EdgeInterpolant::default(); edges],
            pending: Pending::new(count, edges),
        }
    }

    /// Groups the compartments by open edges. Clusters whose members stay the same keep their anchors;
    /// the others must have been settled to `t_s` before.
    pub fn regroup(&mut self, edges: &[Edge], joins: impl Fn(EdgeKind) -> bool, t_s: i64) {
        self.clusters = group(self.anchors.len(), edges, joins, &self.clusters, t_s);
        for (c, cluster) in self.clusters.iter().enumerate() {
            for i in cluster.members.iter().copied() {
                self.cluster_of[i] = c;
            }
        }
    }

    /// How many compartments there are.
    #[inline]
    pub fn compartments(&self) -> usize {
        self.anchors.len()
    }

    /// All clusters.
    #[inline]
    pub fn clusters(&self) -> &[Cluster] {
        &self.clusters
    }

    /// A cluster, to be changed.
    #[inline]
    pub fn cluster_mut(&mut self, c: usize) -> &mut Cluster {
        &mut self.clusters[c]
    }

    /// The cluster a compartment is in.
    #[inline]
    pub fn cluster_of(&self, i: usize) -> usize {
        self.cluster_of[i]
    }

    /// A compartment's state at its anchor.
    #[inline]
    pub fn anchor(&self, i: usize) -> &Node {
        &self.anchors[i]
    }

    /// The same, to be changed.
    #[inline]
    pub fn anchor_mut(&mut self, i: usize) -> &mut Node {
        &mut self.anchors[i]
    }

    /// Sets a compartment's state at the end of its interval.
    pub fn set_end(&mut self, i: usize, node: Node) {
        self.ends[i] = node;
    }

    /// What happens in a compartment over its interval.
    #[inline]
    pub fn interpolant(&self, i: usize) -> &Interpolant {
        &self.interpolants[i]
    }

    /// The same, to be set.
    pub fn interpolant_mut(&mut self, i: usize) -> &mut Interpolant {
        &mut self.interpolants[i]
    }

    /// What passes along an edge over its interval.
    pub fn edge(&self, x: usize) -> &EdgeInterpolant {
        &self.edges[x]
    }

    /// Sets what passes along an edge.
    pub fn set_edge(&mut self, x: usize, edge: EdgeInterpolant) {
        self.edges[x] = edge;
    }

    /// What the parts of a rushed second moved.
    pub fn pending(&self) -> &Pending {
        &self.pending
    }

    /// The same, to be added to.
    pub fn pending_mut(&mut self) -> &mut Pending {
        &mut self.pending
    }

    /// Puts what a part of a second moved aside until the second is over.
    pub fn pend(&mut self, c: usize, part_s: f64) {
        let w = Weights::at(part_s, 1.0);
        let Cluster { members, edges, .. } = &self.clusters[c];
        for i in members.iter().copied() {
            self.pending.add_part(i, &self.interpolants[i], &w);
        }
        for x in edges.iter().copied() {
            self.pending.add_edge_part(x, &self.edges[x], &w);
        }
    }

    /// Begins a second that is taken in parts.
    pub fn clear_pending(&mut self, c: usize) {
        let Cluster { members, edges, .. } = &self.clusters[c];
        self.pending.clear(members, edges);
    }

    /// Moves a cluster's anchor to a second at which its members have been evaluated.
    pub fn move_anchor(&mut self, c: usize, t_s: i64, e: &Evaluated) {
        let cluster = &mut self.clusters[c];
        for i in cluster.members.iter().copied() {
            self.anchors[i] = *e.node(i);
        }
        cluster.t_s = t_s;
        cluster.dirty = true;
    }

    /// First second at which a cluster must be looked at.
    pub fn next_s(&self) -> i64 {
        let seconds = self.clusters.iter().map(|c| c.next_s);
        seconds.min().unwrap_or(i64::MAX)
    }

    /// Weights of a cluster's points at a second of its interval, or at its end if that has passed.
    pub fn weights_at(&self, c: usize, t_s: i64) -> Weights {
        let cluster = &self.clusters[c];
        let h_s = cluster.h_s.max(1) as f64;
        let share = ((t_s - cluster.t_s) as f64 / h_s).min(1.0);
        Weights::at(h_s, share)
    }

    /// State of a cluster at a second at or after its anchor. Stores nothing.
    pub fn evaluate(&self, c: usize, t_s: i64, out: &mut Evaluated) {
        let w = self.weights_at(c, t_s);
        for i in self.clusters[c].members.iter().copied() {
            out.put(i, self.state_at(i, t_s, &w));
        }
    }

    /// Gas and wall of one compartment at a second.
    pub fn node_at(&self, i: usize, t_s: i64) -> Node {
        self.state_at(i, t_s, &self.weights_at(self.cluster_of[i], t_s))
    }

    fn state_at(&self, i: usize, t_s: i64, w: &Weights) -> Node {
        let cluster = &self.clusters[self.cluster_of[i]];
        if t_s == cluster.t_s {
            self.anchors[i]
        } else if cluster.rushed || (t_s == cluster.end_s() && !cluster.dirty) {
            self.ends[i]
        } else {
            self.interpolants[i].node(&self.anchors[i], w)
        }
    }

    /// What a slot has moved since its compartment's anchor, mol; none if nothing can have.
    pub fn moved(&self, i: usize, s: usize, t_s: i64, w: &Weights) -> Option<[f64; SPECIES]> {
        let cluster = &self.clusters[self.cluster_of[i]];
        let active = self.active(i) & (1 << s) != 0;
        if t_s <= cluster.t_s || !active {
            None
        } else if cluster.rushed {
            Some(*self.pending.slot(i, s))
        } else {
            Some(self.interpolants[i].moved(s, w))
        }
    }

    /// What has passed along an edge since its cluster's anchor, mol; none if nothing can have.
    pub fn edge_moved(&self, c: usize, x: usize, t_s: i64, w: &Weights) -> Option<[f64; SPECIES]> {
        if t_s <= self.clusters[c].t_s {
            None
        } else if self.clusters[c].rushed {
            Some(*self.pending.edge(x))
        } else {
            Some(moved(&self.edges[x].flow, w))
        }
    }

    /// Slots of a compartment that move something over its interval, as bits.
    pub fn active(&self, i: usize) -> u32 {
        if self.clusters[self.cluster_of[i]].rushed {
            self.pending.active(i)
        } else {
            self.interpolants[i].active()
        }
    }
}
