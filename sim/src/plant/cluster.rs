//! Clusters: compartments that exchange gas, from anchor to anchor. Coefficients are frozen, the end of
//! the interval is computed and kept, and any second between is evaluated from the anchor.

use super::core::{Cluster, Edge, EdgeKind, Evaluated, FrozenEdge, Plant};
use super::frozen::{LARGEST_CHANGE, NEAR_PA};
use super::slots::{SLOTS, Slot};
use super::state::Node;
use crate::gas::{self, Amounts, SPECIES};
use crate::plant::MAX_COMPARTMENTS;
use crate::units::*;

/// Longest interval over which coefficients are frozen, s.
pub const LONGEST_FREEZE_S: i64 = 60;
/// Longest interval for compartments at rest, s: nobody in them, nothing running, no valve open. What
/// still happens there (a standing leak, sample flow, walls coming to the air's temperature) is linear.
pub const LONGEST_REST_S: i64 = 1800;
/// Change over an interval below which coefficients at its start do for the whole of it.
const SMALL_CHANGE: f64 = 1e-5;
/// Share of a pressure difference that may be levelled in one step. Where the gas ends up does not hang on
/// it, only how the last of the rush dies down.
const LEVELLED_A_STEP: f64 = 0.3;
/// Share of a small compartment's contents that may rush in in one step.
const FILLED_A_STEP: f64 = 0.3;
/// Most sub-steps of a second while gas rushes.
const MOST_SUBSTEPS: f64 = 50.0;

/// Slots whose flow follows contents or levelling: a bank has them when they are settled, not as a rate.
pub(super) const UNEVEN: [usize; 3] =
    [Slot::TopUp as usize, Slot::RecoveredExhaust as usize, Slot::RecoveredBleed as usize];

impl Plant {
    /// Groups the compartments by open edges. Clusters whose members stay the same keep their anchors;
    /// the others must have been settled to `t_s` before.
    pub(super) fn regroup(&mut self, t_s: i64) {
        let count = self.nodes.len();
        let mut root: [usize; MAX_COMPARTMENTS] = std::array::from_fn(|i| i);
        for (edge, frozen) in self.edges.iter().zip(&mut self.frozen_edges) {
            let joined = match edge.kind {
                EdgeKind::Door(d) => self.doors[d].open || self.doors[d].equalise.opening() > 0.0,
                EdgeKind::Drain(c) => self.settings[c].drain.opening() > 0.0,
            };
            *frozen = FrozenEdge { joined, ..*frozen };
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
                .filter(|e| self.frozen_edges[*e].joined && root[self.edges[*e].a] == lead)
                .collect();
            let at = self.clusters.len();
            for m in &members {
                self.cluster_of[*m] = at;
            }
            let kept = old.iter().find(|c| c.members == members && c.edges == edges && !c.dirty);
            self.clusters.push(kept.cloned().unwrap_or(Cluster {
                members,
                edges,
                t_s,
                h_s: 0,
                rushed: false,
                next_s: t_s,
                dirty: true,
            }));
        }
        self.list_gates();
    }

    /// Marks a compartment's cluster for new coefficients, after settling it to `t_s`.
    pub(super) fn touch(&mut self, i: usize, t_s: i64) {
        let c = self.cluster_of[i];
        self.settle(c, t_s);
        self.clusters[c].dirty = true;
    }

    /// Stores a cluster's state at `t_s` as its new anchor.
    pub(super) fn settle(&mut self, c: usize, t_s: i64) {
        if self.clusters[c].t_s == t_s {
            return;
        }
        let mut e = self.borrow();
        self.evaluate(c, t_s, &mut e);
        self.settle_probes(c, t_s, &e);
        self.book(c, t_s, &e);
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

    /// Freezes coefficients of every cluster that needs it, at `t_s`, and finds when each must be
    /// looked at again.
    pub fn refresh(&mut self, t_s: i64) {
        for c in 0..self.clusters.len() {
            if self.clusters[c].t_s + self.clusters[c].h_s <= t_s {
                self.settle(c, t_s);
            }
            if self.clusters[c].dirty {
                self.freeze_cluster(c, t_s);
            } else if self.clusters[c].next_s <= t_s {
                self.find_next(c, t_s);
            }
        }
    }

    /// First second after now at which something must be looked at: an interval ends or a monitor is met.
    pub fn next_s(&self) -> i64 {
        self.clusters.iter().map(|c| c.next_s).min().unwrap_or(i64::MAX)
    }

    fn freeze_cluster(&mut self, c: usize, t_s: i64) {
        debug_assert_eq!(self.clusters[c].t_s, t_s);
        let mut change = self.freeze_all(c, None, t_s);
        let longest = if self.physics.anchor_each_second {
            1
        } else if self.at_rest(c) {
            LONGEST_REST_S
        } else {
            LONGEST_FREEZE_S
        };
        let h_s = ((LARGEST_CHANGE / change.max(1e-12)) as i64).clamp(1, longest);
        let rushed = change > LARGEST_CHANGE;
        self.clusters[c].h_s = h_s;
        self.clusters[c].rushed = rushed;
        if rushed {
            self.rush(c, t_s, &mut change);
        } else {
            let mut e = self.borrow();
            if change * h_s as f64 > SMALL_CHANGE {
                self.propagate(c, h_s as f64 / 2.0, &mut e);
                self.freeze_all(c, Some(&e), t_s);
            }
            self.propagate(c, h_s as f64, &mut e);
            self.level(c, t_s + h_s, &mut e);
            self.keep_end(c, &e);
            self.give_back(e);
        }
        self.evaluations += 1;
        self.clusters[c].dirty = false;
        self.draw_from_banks(t_s);
        self.find_next(c, t_s);
    }

    /// Nobody in a cluster's compartments, nothing running, no valve open.
    fn at_rest(&self, c: usize) -> bool {
        self.clusters[c].members.iter().all(|i| self.settings[*i].at_rest_now())
    }

    fn keep_end(&mut self, c: usize, e: &Evaluated) {
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            self.ends[i] = e.node[i];
            self.end_integral[i] = e.integral[i];
            self.end_spill[i] = e.spill[i];
            self.end_top_up[i] = e.top_up[i];
        }
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            self.end_edge[x] = e.edge[x];
        }
    }

    /// Freezes members and edges in a state (the anchor's if none); gives the greatest relative change
    /// per second.
    fn freeze_all(&mut self, c: usize, at: Option<&Evaluated>, t_s: i64) -> f64 {
        let mut change = 0.0f64;
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            let node = at.map_or(self.nodes[i], |e| e.node[i]);
            self.films[i] = self.film(i, &node);
            self.frozen[i] = self.freeze(i, &node, t_s);
        }
        for k in 0..self.clusters[c].edges.len() {
            let e = self.clusters[c].edges[k];
            change = change.max(self.freeze_edge(e, at));
        }
        self.freeze_level_flows(c, at);
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            let node = at.map_or(&self.nodes[i], |e| &e.node[i]);
            let (_, heat_w) = self.exchanged(c, i, at);
            change = change.max(self.frozen[i].change_per_s(node, heat_w));
        }
        change
    }

    fn freeze_edge(&mut self, e: usize, at: Option<&Evaluated>) -> f64 {
        let Edge { kind, a, b } = self.edges[e];
        let (va, vb) = (self.steel.compartments[a].volume_m3, self.steel.compartments[b].volume_m3);
        let mut frozen = FrozenEdge { joined: true, ..FrozenEdge::default() };
        let mut change = 0.0;
        let area_m2 = match kind {
            EdgeKind::Door(d) if self.doors[d].open => {
                let q = self.steel.doors[d].exchange_m3_s;
                frozen.level = true;
                frozen.k_ab = q / va;
                frozen.k_ba = q / vb;
                0.0
            }
            EdgeKind::Door(d) => self.doors[d].equalise.opening() * self.steel.doors[d].equalise_m2,
            EdgeKind::Drain(c) => self.settings[c].drain.opening() * self.steel.compartments[c].drain_m2,
        };
        if area_m2 > 0.0 {
            let (pa, pb) = (self.frozen[a].p_pa, self.frozen[b].p_pa);
            if (pa - pb).abs() < NEAR_PA {
                frozen.level = true;
            } else {
                let (up, down) = if pa > pb { (a, b) } else { (b, a) };
                let node = |i: usize| at.map_or(self.nodes[i], |e| e.node[i]);
                let n_up = Amounts(node(up).n_mol);
                let total = n_up.total();
                let x = n_up.scaled(1.0 / total);
                let flow = gas::flow::mol_s(area_m2, &x, pa.max(pb), node(up).gas_k, pa.min(pb));
                let n_down: f64 = node(down).n_mol.iter().sum();
                // Moles that level the two, at one temperature.
                let (v_up, v_down) = if up == a { (va, vb) } else { (vb, va) };
                let level = (total * v_down - n_down * v_up).abs() / (v_up + v_down);
                change = (LARGEST_CHANGE * flow / (LEVELLED_A_STEP * level.max(1e-9))).max(flow / total).max(flow / n_down * LARGEST_CHANGE / FILLED_A_STEP);
                if up == a {
                    frozen.k_ab = flow / total;
                } else {
                    frozen.k_ba = flow / total;
                }
            }
        }
        self.frozen_edges[e] = frozen;
        change
    }

    /// One second in sub-steps, each with coefficients of its own, booked as pending.
    fn rush(&mut self, c: usize, t_s: i64, change: &mut f64) {
        let mut anchor = [Node::default(); MAX_COMPARTMENTS];
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            self.pending[i] = [[0.0; SPECIES]; SLOTS];
            anchor[k] = self.nodes[i];
        }
        for k in 0..self.clusters[c].edges.len() {
            let e = self.clusters[c].edges[k];
            self.pending_edges[e] = [0.0; SPECIES];
        }
        let mut e = self.borrow();
        let mut left = 1.0;
        while left > 1e-9 {
            let dt = (LARGEST_CHANGE / change.max(1e-12)).clamp(1.0 / MOST_SUBSTEPS, 1.0).min(left);
            self.propagate(c, dt / 2.0, &mut e);
            self.freeze_all(c, Some(&e), t_s);
            self.propagate(c, dt, &mut e);
            self.level(c, t_s + 1, &mut e);
            self.pend(c, dt, &e);
            left -= dt;
            for k in 0..self.clusters[c].members.len() {
                let i = self.clusters[c].members[k];
                self.nodes[i] = e.node[i];
            }
            if left > 1e-9 {
                *change = self.freeze_all(c, None, t_s);
            }
        }
        self.give_back(e);
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            self.ends[i] = self.nodes[i];
            self.nodes[i] = anchor[k];
        }
    }

    /// State of a cluster at a second at or after its anchor. Stores nothing.
    pub(super) fn evaluate(&self, c: usize, t_s: i64, out: &mut Evaluated) {
        let cluster = &self.clusters[c];
        for i in cluster.members.iter().copied() {
            out.forget_pressure(i);
        }
        if t_s == cluster.t_s || cluster.rushed {
            let from = if t_s == cluster.t_s { &self.nodes } else { &self.ends };
            for i in cluster.members.iter().copied() {
                out.node[i] = from[i];
                out.clear(i);
            }
            for x in cluster.edges.iter().copied() {
                out.edge[x] = [0.0; SPECIES];
            }
        } else if t_s == cluster.t_s + cluster.h_s && !cluster.dirty {
            for i in cluster.members.iter().copied() {
                out.node[i] = self.ends[i];
                out.integral[i] = self.end_integral[i];
                out.spill[i] = self.end_spill[i];
                out.top_up[i] = self.end_top_up[i];
            }
            for x in cluster.edges.iter().copied() {
                out.edge[x] = self.end_edge[x];
            }
        } else {
            self.propagate(c, (t_s - cluster.t_s) as f64, out);
            self.level(c, t_s, out);
        }
    }

    /// Gas and wall of one compartment at a second.
    pub(super) fn node_at(&self, i: usize, t_s: i64) -> Node {
        let cluster = &self.clusters[self.cluster_of[i]];
        if t_s == cluster.t_s {
            return self.nodes[i];
        }
        if cluster.rushed || (t_s == cluster.t_s + cluster.h_s && !cluster.dirty) {
            return self.ends[i];
        }
        let mut e = Evaluated::default();
        self.evaluate(self.cluster_of[i], t_s, &mut e);
        e.node[i]
    }

    fn draw_from_banks(&mut self, t_s: i64) {
        let mut rates = [Amounts::ZERO; crate::plant::MAX_BANKS];
        for i in 0..self.nodes.len() {
            self.bank_rates(i, &mut rates);
        }
        for (bank, rate) in self.banks.iter_mut().zip(rates) {
            if bank.rate_mol_s != rate {
                bank.n_mol = bank.at(t_s);
                bank.t_s = t_s;
                bank.rate_mol_s = rate;
            }
        }
    }

    fn bank_rates(&self, i: usize, rates: &mut [Amounts]) {
        let cluster = &self.clusters[self.cluster_of[i]];
        let active = if cluster.rushed { u32::MAX } else { self.frozen[i].active };
        for s in (0..SLOTS).filter(|s| active & (1 << s) != 0) {
            if UNEVEN.contains(&s) {
                continue;
            }
            let Some(booking) = self.booking(i, s) else { continue };
            let rate = Amounts(if cluster.rushed { self.pending[i][s] } else { self.frozen[i].rates[s].fixed });
            if let Place::Bank(b) = booking.from {
                rates[b.index()] = rates[b.index()].plus(&rate.scaled(-1.0));
            }
            if let Place::Bank(b) = booking.to {
                rates[b.index()] = rates[b.index()].plus(&rate);
            }
        }
    }
}
