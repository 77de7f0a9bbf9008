//! From anchor to anchor: a step finds what happens in a cluster over an interval, and how long that may be.
//! Where gas rushes, a second is taken in steps of its own.

use crate::amounts::is_below;
use crate::balances::keep::{go_as_at_start, keep};
use crate::balances::open::{LONGEST_REST_S, begin, equalise_now, find_passages};
use crate::balances::problem::Balances;
use crate::balances::room::Room;
use crate::books::account::Accounts;
use crate::books::keeping::Keeper;
use crate::books::slot::Slot;
use crate::flows::film::Film;
use crate::model::Model;
use crate::pressure::equalise::Moved;
use crate::solver::interpolant::Weights;
use crate::solver::length::{growth, shrinking};
use crate::solver::newton::{self, Stopped};
use crate::solver::problem::Step;
use crate::solver::workspace::Workspace;
use crate::state::banks::BankStock;
use crate::trajectory::trajectories::Trajectories;
use crate::view::View;
use deepstay_core::gas::SPECIES;

/// Longest interval, s.
pub const LONGEST_INTERVAL_S: i64 = 300;
/// Shortest part of a second that gas that rushes is followed in, s.
const SHORTEST_S: f64 = 1e-3;
/// A part that leaves less than this share of the rest of its second takes all of it.
const NEARLY_ALL: f64 = 0.9;

/// Room for steps: of the balances, and of the solver.
#[derive(Clone, Debug, Default)]
pub(crate) struct StepRoom {
    balances: Room,
    solver: Workspace,
}

/// What a step reads and writes.
pub(crate) struct Advance<'a> {
    /// What decides what flows.
    pub model: Model<'a>,
    /// Anchors, and what will lead from them.
    pub trajectories: &'a mut Trajectories,
    /// Where gas that moves at once is booked.
    pub accounts: &'a mut Accounts,
    /// What it is drawn from.
    pub stock: &'a mut BankStock,
    /// Films at the walls.
    pub films: &'a mut [[Film; 4]],
    /// Where it is worked out.
    pub room: &'a mut StepRoom,
}

impl Advance<'_> {
    /// Takes a step of a cluster from its anchor at `t_s`.
    pub fn step(&mut self, c: usize, t_s: i64) {
        debug_assert_eq!(self.trajectories.clusters()[c].t_s, t_s);
        self.trajectories.cluster_mut(c).rushed = false;
        self.take_cluster(c);
        let change = self.open(c, t_s as f64, false);
        let next_h_s = self.trajectories.clusters()[c].next_h_s;
        let mut h_s = next_h_s.unwrap_or(1.0 / change.max(1e-9));
        let breathed_s = self.room.balances.banks.last_s.floor().max(1.0);
        let longest_s = breathed_s.min(self.longest_s(c, t_s) as f64);
        loop {
            if h_s < 1.0 {
                self.rush(c, t_s, h_s);
                return;
            }
            let whole_s = h_s.floor().min(longest_s);
            match self.solve(t_s as f64, whole_s) {
                Ok(error) if error <= 1.0 => {
                    let cluster = self.trajectories.cluster_mut(c);
                    cluster.h_s = whole_s as i64;
                    cluster.next_h_s = Some(whole_s * growth(error));
                    keep(
                        &self.model,
                        &self.room.balances,
                        c,
                        whole_s,
                        self.trajectories,
                    );
                    if self.goes_below(whole_s) {
                        h_s = 0.5 * whole_s;
                        continue;
                    }
                    self.set_ends(c, t_s);
                    return;
                }
                outcome => h_s = whole_s * shrinking(outcome),
            }
        }
    }

    /// Puts a cluster and its anchors into the room.
    fn take_cluster(&mut self, c: usize) {
        let cluster = &self.trajectories.clusters()[c];
        let StepRoom {
            balances: room,
            solver,
        } = &mut *self.room;
        room.layout.take(&cluster.members, &cluster.edges);
        solver.lay_out(room.layout.blocks(), room.layout.count());
        for i in cluster.members.iter().copied() {
            room.nodes[i] = *self.trajectories.anchor(i);
        }
    }

    /// Readies a step from the present state: what has one pressure is brought to it and booked, what flows is
    /// found. Gives how much of a first step's change happens per second.
    fn open(&mut self, c: usize, t_s: f64, in_parts: bool) -> f64 {
        find_passages(&self.model, &mut self.room.balances);
        let view = View {
            model: self.model,
            trajectories: self.trajectories,
            stock: self.stock,
        };
        if let Some(moved) = equalise_now(&view, t_s, &mut self.room.balances) {
            self.book_moved(&moved, in_parts);
        }
        let view = View {
            model: self.model,
            trajectories: self.trajectories,
            stock: self.stock,
        };
        let StepRoom { balances, solver } = &mut *self.room;
        begin(&view, c, t_s, in_parts, self.films, balances, solver)
    }

    /// Books gas that moved at once: with the second's other movements if it is being taken in parts; else the
    /// anchors are as they are after it.
    fn book_moved(&mut self, moved: &Moved, in_parts: bool) {
        let room = &self.room.balances;
        let mut keeper = Keeper {
            model: self.model,
            accounts: self.accounts,
            stock: self.stock,
        };
        for i in room.layout.members().iter().copied() {
            if !in_parts {
                *self.trajectories.anchor_mut(i) = room.nodes[i];
            }
            for (slot, moved) in [
                (Slot::Spill, &moved.spilt[i]),
                (Slot::TopUp, &moved.topped[i]),
            ] {
                if *moved == [0.0; SPECIES] {
                    continue;
                }
                if in_parts {
                    self.trajectories.pending_mut().add_slot(i, slot, moved);
                } else {
                    keeper.slot(i, slot, moved);
                }
            }
        }
        for x in room.layout.edges().iter().copied() {
            if in_parts {
                self.trajectories.pending_mut().add_edge(x, &moved.edge[x]);
            } else {
                keeper.accounts.add_edge(x, &moved.edge[x]);
            }
        }
    }

    /// Solves a step that has been opened; gives its error.
    fn solve(&mut self, t_s: f64, h_s: f64) -> Result<f64, Stopped> {
        let StepRoom { balances, solver } = &mut *self.room;
        let mut problem = Balances {
            model: self.model,
            films: self.films,
            before: self.trajectories,
            room: balances,
        };
        newton::step(&mut problem, solver, Step { t_s, h_s })
    }

    /// Whether something is less than nothing at a third, two thirds or the end of a step that was just kept.
    fn goes_below(&self, h_s: f64) -> bool {
        let room = &self.room.balances;
        [1.0 / 3.0, 2.0 / 3.0, 1.0].into_iter().any(|share| {
            let w = Weights::at(h_s, share);
            let members = room.layout.members().iter().copied();
            let node = |i: usize| self.trajectories.interpolant(i).node(&room.nodes[i], &w);
            members.map(node).any(|node| is_below(&node))
        })
    }

    /// States at the end of an interval.
    fn set_ends(&mut self, c: usize, t_s: i64) {
        let end_s = t_s + self.trajectories.clusters()[c].h_s;
        let w = self.trajectories.weights_at(c, end_s);
        let room = &self.room.balances;
        for i in room.layout.members().iter().copied() {
            let end = self.trajectories.interpolant(i).node(&room.nodes[i], &w);
            self.trajectories.set_end(i, end);
        }
    }

    /// Longest interval from a second on: not past where a bell enters the water, arrives or comes on deck.
    fn longest_s(&self, c: usize, t_s: i64) -> i64 {
        let members = &self.trajectories.clusters()[c].members;
        let controls = self.model.controls;
        let mut longest_s = if self.model.physics.anchor_each_second {
            1
        } else if members.iter().all(|i| self.model.is_at_rest(*i)) {
            LONGEST_REST_S
        } else {
            LONGEST_INTERVAL_S
        };
        // What divers breathe from a loop is breathed at their bells' depth.
        let bends_with = |i: usize| {
            let is_tank = |k: &usize| self.model.reclaim_of(*k).is_some();
            members.contains(&i) || members.iter().any(is_tank)
        };
        for i in (0..self.trajectories.compartments()).filter(|i| bends_with(*i)) {
            for bend_s in controls.bell(i).bends_s() {
                if bend_s > t_s {
                    longest_s = longest_s.min(bend_s - t_s);
                }
            }
        }
        longest_s
    }

    /// One second in steps of their own, booked as pending.
    fn rush(&mut self, c: usize, t_s: i64, first_h_s: f64) {
        self.trajectories.clear_pending(c);
        let (mut gone_s, mut h_s) = (0.0, first_h_s);
        loop {
            let left_s = 1.0 - gone_s;
            let part_s = if h_s > NEARLY_ALL * left_s {
                left_s
            } else {
                h_s.max(SHORTEST_S)
            };
            let outcome = self.solve(t_s as f64 + gone_s, part_s);
            let shortest = part_s <= 2.0 * SHORTEST_S;
            if !outcome.is_ok_and(|error| error <= 1.0) && !shortest {
                h_s = part_s * shrinking(outcome);
                continue;
            }
            if outcome.is_err() {
                go_as_at_start(&self.model, &mut self.room.balances);
            }
            keep(
                &self.model,
                &self.room.balances,
                c,
                part_s,
                self.trajectories,
            );
            if !shortest && self.goes_below(part_s) {
                h_s = 0.5 * part_s;
                continue;
            }
            self.trajectories.pend(c, part_s);
            let w = Weights::at(part_s, 1.0);
            let Room { layout, nodes, .. } = &mut self.room.balances;
            for i in layout.members().iter().copied() {
                nodes[i] = self.trajectories.interpolant(i).node(&nodes[i], &w);
            }
            gone_s += part_s;
            h_s = part_s * outcome.map_or(1.0, growth);
            if part_s == left_s {
                break;
            }
            self.open(c, t_s as f64 + gone_s, true);
        }
        let Room { layout, nodes, .. } = &self.room.balances;
        for i in layout.members().iter().copied() {
            self.trajectories.set_end(i, nodes[i]);
        }
        let cluster = self.trajectories.cluster_mut(c);
        cluster.h_s = 1;
        cluster.rushed = true;
        cluster.next_h_s = Some(h_s);
    }
}
