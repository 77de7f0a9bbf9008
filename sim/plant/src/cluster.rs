//! Clusters: compartments that exchange gas, from anchor to anchor. A step finds their course over an
//! interval and how long it may be; any second between is evaluated from the anchor.

use super::bench::Bench;
use super::core::{Cluster, EdgeKind, Evaluated, Plant, Way};
use super::radau::weights;
use super::slots::SLOTS;
use super::state::Node;
use crate::MAX_COMPARTMENTS;
use deepstay_core::gas::SPECIES;

/// Longest interval, s.
pub const LONGEST_INTERVAL_S: i64 = 300;
/// Longest interval for compartments at rest, s: nobody in them, nothing running, no valve open.
pub const LONGEST_REST_S: i64 = 1800;
/// A step is made this much shorter than would just do, and grows and shrinks by no more than these at once.
const MARGIN: f64 = 0.9;
const MOST_GROWTH: f64 = 4.0;
const MOST_SHRINKING: f64 = 0.15;
/// Where the iteration does not settle, a step is made shorter by this.
const UNSETTLED: f64 = 0.3;
/// Shortest part of a second that gas that rushes is followed in, s.
const SHORTEST_S: f64 = 1e-3;

impl Plant {
    /// Groups the compartments by open edges. Clusters whose members stay the same keep their anchors;
    /// the others must have been settled to `t_s` before.
    pub(super) fn regroup(&mut self, t_s: i64) {
        let count = self.nodes.len();
        let mut root: [usize; MAX_COMPARTMENTS] = std::array::from_fn(|i| i);
        for (edge, way) in self.edges.iter().zip(&mut self.ways) {
            let joined = match edge.kind {
                EdgeKind::Door(d) => self.doors[d].open || self.doors[d].equalise.opening() > 0.0,
                EdgeKind::Drain(c) => self.settings[c].drain.opening() > 0.0,
            };
            *way = Way { joined, ..*way };
            if joined {
                let (ra, rb) = (root[edge.a], root[edge.b]);
                let (low, high) = (ra.min(rb), ra.max(rb));
                for r in &mut root[..count] {
                    if *r == high {
                        *r = low;
                    }
                }
            }
        }
        let old = std::mem::take(&mut self.clusters);
        for lead in (0..count).filter(|i| root[*i] == *i) {
            let members: Vec<usize> = (lead..count).filter(|i| root[*i] == lead).collect();
            let edges: Vec<usize> = (0..self.edges.len())
                .filter(|e| self.ways[*e].joined && root[self.edges[*e].a] == lead)
                .collect();
            let at = self.clusters.len();
            for m in &members {
                self.cluster_of[*m] = at;
            }
            let kept = old
                .iter()
                .find(|c| c.members == members && c.edges == edges && !c.dirty);
            self.clusters.push(kept.cloned().unwrap_or(Cluster {
                members,
                edges,
                t_s,
                h_s: 0,
                rushed: false,
                next_h_s: None,
                went_s: None,
                next_s: t_s,
                dirty: true,
            }));
        }
        self.list_gates();
    }

    /// Marks a compartment's cluster for a new step, after settling it to `t_s`.
    pub(super) fn touch(&mut self, i: usize, t_s: i64) {
        let c = self.cluster_of[i];
        self.settle(c, t_s);
        self.clusters[c].dirty = true;
        self.clusters[c].next_h_s = None;
        self.clusters[c].went_s = None;
    }

    /// Stores a cluster's state at `t_s` as its new anchor.
    pub(super) fn settle(&mut self, c: usize, t_s: i64) {
        if self.clusters[c].t_s == t_s {
            return;
        }
        let mut e = self.borrow();
        self.evaluate(c, t_s, &mut e);
        self.settle_probes(c, t_s, &e);
        self.book(c, t_s);
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            self.nodes[i] = e.node[i];
        }
        self.give_back(e);
        let cluster = &mut self.clusters[c];
        cluster.t_s = t_s;
        cluster.dirty = true;
    }

    /// Room for an evaluated state; given back after use, so that nothing is allocated in the loop.
    pub(super) fn borrow(&mut self) -> Box<Evaluated> {
        self.spare.pop().unwrap_or_default()
    }

    /// Takes the room back.
    pub(super) fn give_back(&mut self, room: Box<Evaluated>) {
        self.spare.push(room);
    }

    /// Takes a step of every cluster that needs one, at `t_s`, and finds when each must be looked at again.
    pub fn refresh(&mut self, t_s: i64) {
        for c in 0..self.clusters.len() {
            if self.clusters[c].t_s + self.clusters[c].h_s <= t_s {
                self.settle(c, t_s);
            }
            if self.clusters[c].dirty {
                self.step_cluster(c, t_s);
            } else if self.clusters[c].next_s <= t_s {
                self.find_next(c, t_s);
            }
        }
    }

    /// First second after now at which something must be looked at: an interval ends or a monitor is met.
    pub fn next_s(&self) -> i64 {
        self.clusters
            .iter()
            .map(|c| c.next_s)
            .min()
            .unwrap_or(i64::MAX)
    }

    fn step_cluster(&mut self, c: usize, t_s: i64) {
        debug_assert_eq!(self.clusters[c].t_s, t_s);
        let mut bench = self.bench.take().unwrap_or_default();
        self.clusters[c].rushed = false;
        let change = self.open_step(c, t_s as f64, false, &mut bench);
        let mut h_s = self.clusters[c].next_h_s.unwrap_or(1.0 / change.max(1e-9));
        let longest_s = self.longest_s(c, t_s);
        loop {
            if h_s < 1.0 {
                self.rush(c, t_s, h_s, &mut bench);
                break;
            }
            let whole_s = h_s.floor().min(longest_s as f64);
            let strays = self.step(c, t_s as f64, whole_s, &mut bench);
            if let Some(strays) = strays.filter(|s| *s <= 1.0) {
                self.clusters[c].h_s = whole_s as i64;
                self.clusters[c].next_h_s = Some(whole_s * growth(strays));
                self.keep(c, whole_s, &bench);
                break;
            }
            h_s = whole_s * strays.map_or(UNSETTLED, growth).min(0.9);
        }
        if !self.clusters[c].rushed {
            let w = self.weights_at(c, t_s + self.clusters[c].h_s);
            for k in 0..self.clusters[c].members.len() {
                let i = self.clusters[c].members[k];
                self.ends[i] = self.courses[i].node(&self.nodes[i], &w);
            }
        }
        self.bench = Some(bench);
        self.lay_probe_courses(c);
        self.evaluations += 1;
        self.clusters[c].dirty = false;
        self.find_next(c, t_s);
    }

    /// Readies a step from the present state: what has one pressure is brought to it and booked, what flows is
    /// found. Gives how much of a first step's change happens per second.
    fn open_step(&mut self, c: usize, t_s: f64, in_parts: bool, bench: &mut Bench) -> f64 {
        self.find_level(c, bench);
        if let Some(shift) = self.level_now(t_s, bench) {
            self.book_shift(c, &shift, in_parts);
        }
        self.begin(c, t_s, in_parts, bench)
    }

    /// Longest interval from a second on: not past where a bell enters the water, arrives or comes on deck.
    fn longest_s(&self, c: usize, t_s: i64) -> i64 {
        let mut longest_s = if self.physics.anchor_each_second {
            1
        } else if self.at_rest(c) {
            LONGEST_REST_S
        } else {
            LONGEST_INTERVAL_S
        };
        for i in self.clusters[c].members.iter().copied() {
            for bend_s in self.bells[i].bends_s() {
                if bend_s > t_s {
                    longest_s = longest_s.min(bend_s - t_s);
                }
            }
        }
        longest_s
    }

    /// Nobody in a cluster's compartments, nothing running, no valve open.
    fn at_rest(&self, c: usize) -> bool {
        self.clusters[c]
            .members
            .iter()
            .all(|i| self.settings[*i].at_rest_now())
    }

    /// One second in steps of their own, booked as pending.
    fn rush(&mut self, c: usize, t_s: i64, first_h_s: f64, bench: &mut Bench) {
        let mut anchor = [Node::default(); MAX_COMPARTMENTS];
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            self.pending[i] = [[0.0; SPECIES]; SLOTS];
            self.pending_active[i] = 0;
            anchor[k] = self.nodes[i];
        }
        for k in 0..self.clusters[c].edges.len() {
            let e = self.clusters[c].edges[k];
            self.pending_edges[e] = [0.0; SPECIES];
        }
        let (mut gone_s, mut h_s) = (0.0, first_h_s);
        loop {
            let left_s = 1.0 - gone_s;
            let part_s = if h_s > 0.9 * left_s {
                left_s
            } else {
                h_s.max(SHORTEST_S)
            };
            let strays = self.step(c, t_s as f64 + gone_s, part_s, bench);
            let shortest = part_s <= 2.0 * SHORTEST_S;
            if strays.is_none_or(|s| s > 1.0) && !shortest {
                h_s = part_s * strays.map_or(UNSETTLED, growth).min(0.9);
                continue;
            }
            if strays.is_none() {
                self.go_as_at_start(c, bench);
            }
            self.keep(c, part_s, bench);
            self.pend(c, part_s);
            let w = weights(part_s, 1.0);
            for k in 0..self.clusters[c].members.len() {
                let i = self.clusters[c].members[k];
                self.nodes[i] = self.courses[i].node(&self.nodes[i], &w);
            }
            gone_s += part_s;
            h_s = part_s * strays.map_or(1.0, growth);
            if part_s == left_s {
                break;
            }
            self.open_step(c, t_s as f64 + gone_s, true, bench);
        }
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            self.ends[i] = self.nodes[i];
            self.nodes[i] = anchor[k];
        }
        let cluster = &mut self.clusters[c];
        cluster.h_s = 1;
        cluster.rushed = true;
        cluster.next_h_s = Some(h_s);
    }

    /// State of a cluster at a second at or after its anchor. Stores nothing.
    pub(super) fn evaluate(&self, c: usize, t_s: i64, out: &mut Evaluated) {
        let cluster = &self.clusters[c];
        let w = self.weights_at(c, t_s);
        for i in cluster.members.iter().copied() {
            out.put(i, self.state_at(i, t_s, &w));
        }
    }

    /// Gas and wall of one compartment at a second.
    pub(super) fn node_at(&self, i: usize, t_s: i64) -> Node {
        self.state_at(i, t_s, &self.weights_at(self.cluster_of[i], t_s))
    }

    fn state_at(&self, i: usize, t_s: i64, w: &[f64; 3]) -> Node {
        let cluster = &self.clusters[self.cluster_of[i]];
        if t_s == cluster.t_s {
            self.nodes[i]
        } else if cluster.rushed || (t_s == cluster.t_s + cluster.h_s && !cluster.dirty) {
            self.ends[i]
        } else {
            self.courses[i].node(&self.nodes[i], w)
        }
    }
}

/// How much longer the next step may be, by how far this one strays of what it may. What a step strays goes
/// with the fourth power of its length.
fn growth(strays: f64) -> f64 {
    (MARGIN / strays.max(1e-12).sqrt().sqrt()).clamp(MOST_SHRINKING, MOST_GROWTH)
}
