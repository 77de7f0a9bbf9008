//! The balances of a cluster, as the solver asks for them.

use super::incoming::{comes_in, target_pa};
use super::jacobian;
use super::room::Room;
use crate::bits::bits;
use crate::books::booking::booking;
use crate::books::slot::BANKED;
use crate::flows::compartment::find;
use crate::flows::film::Film;
use crate::flows::moment::Moment;
use crate::layout::Layout;
use crate::model::Model;
use crate::pressure::exchange::exchange;
use crate::pressure::outside::Outside;
use crate::pressure::stage::Stage;
use crate::solver::correction::Correction;
use crate::solver::jacobian::Jacobian;
use crate::solver::problem::{About, Impossible, Problem, Step};
use crate::solver::radau::{A, Points, dot};
use crate::state::node::{Node, Rates};
use crate::steel::edge::Edge;
use crate::steel::{MAX_BANKS, MAX_COMPARTMENTS};
use crate::trajectory::trajectories::Trajectories;
use deepstay_core::gas::SPECIES;

/// A cluster whose step has been opened in a room.
pub(crate) struct Balances<'a> {
    /// What decides what flows.
    pub model: Model<'a>,
    /// Films at the walls: at the start and at the points.
    pub films: &'a mut [[Film; 4]],
    /// What the step before left behind: its flows that keep one pressure are expected to go on.
    pub before: &'a Trajectories,
    /// Where it is worked out.
    pub room: &'a mut Room,
}

impl Problem for Balances<'_> {
    fn rates(
        &mut self,
        step: Step,
        states: &[Points],
        rates: &mut [Points],
    ) -> Result<(), Impossible> {
        self.find_flows(step, states)?;
        self.find_shares();
        self.add_exchange();
        self.draw(step.h_s);
        self.add_constraint();
        scatter(&self.room.layout, &self.room.rates.total, rates);
        Ok(())
    }

    /// Takes the flows, as shares of what is there, in the states at the points as last corrected. What a round
    /// changes goes by shares nearly all, so this is as good as another round.
    fn last_rates(
        &mut self,
        _step: Step,
        states: &[Points],
        rates: &mut [Points],
        free: &mut [Points],
    ) -> Result<(), Impossible> {
        let room = &mut *self.room;
        for (row, i) in room.layout.members().iter().copied().enumerate() {
            let wall_j_k = self.model.steel.compartments[i].wall_j_k;
            for j in 0..3 {
                let contents = &mut room.contents.points[i][j];
                contents.node = state(&room.layout, &room.nodes[i], states, row, j);
                room.rates.free[i][j] = room.flows.points[i][j].rates(contents, wall_j_k);
            }
        }
        room.valves
            .take_corrections(self.model.edges, &mut room.edges.points);
        self.add_exchange();
        self.add_constraint();
        scatter(&self.room.layout, &self.room.rates.total, rates);
        scatter(&self.room.layout, &self.room.rates.free, free);
        Ok(())
    }

    fn linearise(&mut self, step: Step, about: About, jacobian: &mut Jacobian) {
        jacobian::set(&self.model, self.room, step.h_s, about, jacobian);
        let room = &mut *self.room;
        let stage = Stage {
            layout: &room.layout,
            edges: self.model.edges,
            vessels: &self.model,
            contents: &room.contents,
        };
        room.constraint.linearise(&stage, about, jacobian);
        room.valves
            .linearise(&stage, &room.edges.passage, step, about, jacobian);
    }

    fn predict_constraint(&mut self, step: Step, rows: Option<&[[f64; 3]; 3]>) {
        let room = &mut *self.room;
        let before = self.before;
        let goes_on = |flow: &Points| {
            rows.map_or([0.0; 3], |rows| {
                std::array::from_fn(|j| dot(&rows[j], flow))
            })
        };
        room.constraint.predict(
            &room.layout,
            |x| goes_on(&before.edge(x).constraint),
            // Gas that goes on coming in is found anew: it may no longer be able to.
            |i| goes_on(before.interpolant(i).outward()).map(|out| out.max(0.0)),
        );
        let model = &self.model;
        room.constraint
            .aim(step, |i, outside, t_s| target_pa(model, i, outside, t_s));
    }

    fn constrain(&mut self, step: Step, correction: &mut Correction) -> f64 {
        let room = &mut *self.room;
        let stage = Stage {
            layout: &room.layout,
            edges: self.model.edges,
            vessels: &self.model,
            contents: &room.contents,
        };
        let off = room.constraint.correct(&stage, step, correction);
        let shares = &room.edges.points;
        off.max(room.valves.correct(&stage, shares, step, correction))
    }
}

impl Balances<'_> {
    /// Flows and own rates in the states at the points.
    fn find_flows(&mut self, step: Step, states: &[Points]) -> Result<(), Impossible> {
        let room = &mut *self.room;
        for (row, i) in room.layout.members().iter().copied().enumerate() {
            let wall_j_k = self.model.steel.compartments[i].wall_j_k;
            for j in 0..3 {
                let node = state(&room.layout, &room.nodes[i], states, row, j);
                let possible = node.total_mol() > 0.0
                    && node.gas_k > 100.0
                    && node.gas_k < 1000.0
                    && node.wall_k > 100.0;
                if !possible {
                    return Err(Impossible);
                }
                let at = Moment {
                    t_s: step.time_s(j),
                    in_sea: room.in_sea[i],
                    let_down: room.constraint.outside(i) == Outside::LetDown,
                    h_s: Some(step.h_s),
                    banks: room.banks.at(&room.banks.points[j]),
                };
                let f = &mut room.flows.points[i][j];
                let film = &mut self.films[i][1 + j];
                let contents = find(&self.model, i, &node, &at, film, f);
                room.rates.free[i][j] = f.rates(&contents, wall_j_k);
                room.contents.points[i][j] = contents;
            }
        }
        Ok(())
    }

    /// Shares of their contents that neighbours exchange at the points.
    fn find_shares(&mut self) {
        let room = &mut *self.room;
        for x in room.layout.edges().iter().copied() {
            let Edge { a, b, .. } = self.model.edges[x];
            let (of_a, of_b) = (&room.contents.points[a], &room.contents.points[b]);
            room.edges.points[x] =
                std::array::from_fn(|j| room.edges.passage[x].shares(&of_a[j], &of_b[j]));
        }
    }

    /// Adds to the members' own rates at the points what they exchange.
    fn add_exchange(&mut self) {
        let room = &mut *self.room;
        for x in room.layout.edges().iter().copied() {
            let Edge { a, b, .. } = self.model.edges[x];
            for j in 0..3 {
                let (of_a, of_b) = (&room.contents.points[a][j], &room.contents.points[b][j]);
                let (rate_a, rate_b, flow) = exchange(room.edges.points[x][j], of_a, of_b);
                room.edges.free[x][j] = flow;
                room.rates.free[a][j].add(&rate_a);
                room.rates.free[b][j].add(&rate_b);
            }
        }
        if self.model.isothermal() {
            for i in room.layout.members().iter().copied() {
                room.rates.free[i]
                    .iter_mut()
                    .for_each(Rates::keep_temperature);
            }
        }
    }

    /// What the cluster's own flows leave in the banks at the points.
    fn draw(&mut self, h_s: f64) {
        let room = &mut *self.room;
        if room.banks.used == 0 {
            return;
        }
        let mut drawn = [[0.0; 3]; MAX_BANKS];
        let mut any = 0u32;
        for i in room.layout.members().iter().copied() {
            for j in 0..3 {
                let banked = room.flows.points[i][j]
                    .list()
                    .iter()
                    .filter(|(slot, _)| BANKED & (1 << *slot as u32) != 0);
                for (slot, rate) in banked {
                    let Some(booking) = booking(&self.model, i, *slot) else {
                        continue;
                    };
                    for (bank, sign) in booking.banks() {
                        let n_mol = &room.contents.points[i][j].node.n_mol;
                        let flow: f64 = rate.mol_s(n_mol).iter().sum();
                        drawn[bank.index()][j] += sign * flow;
                        any |= 1 << bank.index();
                    }
                }
            }
        }
        let banks = &mut room.banks;
        for bank in bits(any) {
            for j in 0..3 {
                banks.points[j][bank] =
                    (banks.start[bank] + h_s * dot(&A[j], &drawn[bank])).max(0.0);
            }
        }
    }

    /// Adds to the rates what keeps one pressure.
    fn add_constraint(&mut self) {
        let (model, room) = (&self.model, &mut *self.room);
        for i in room.layout.members().iter().copied() {
            room.rates.total[i] = room.rates.free[i];
        }
        for x in room.layout.edges().iter().copied() {
            room.edges.total[x] = room.edges.free[x];
        }
        let (constraint, contents, banks) = (&room.constraint, &room.contents, &room.banks);
        let passage = &room.edges.passage;
        constraint.add_to(
            &room.layout,
            model.edges,
            model,
            contents,
            |x| passage[x].one_pressure,
            |i, j| {
                let (outside, p_pa) = (constraint.outside(i), contents.points[i][j].gas.p_pa);
                comes_in(model, i, outside, p_pa, |bank| banks.at_point(j, bank))
            },
            &mut room.rates.total,
            &mut room.edges.total,
        );
    }
}

/// State of a row at a point; time on the canister is that of the start.
#[inline]
fn state(layout: &Layout, start: &Node, states: &[Points], row: usize, j: usize) -> Node {
    Node {
        bed_s: start.bed_s,
        ..layout.node(states, row, j)
    }
}

/// Puts rates where the solver looks for them.
fn scatter(layout: &Layout, rates: &[[Rates; 3]; MAX_COMPARTMENTS], out: &mut [Points]) {
    for (row, i) in layout.members().iter().copied().enumerate() {
        let rates = &rates[i];
        for s in 0..SPECIES {
            out[layout.species(s, row)] = rates.each_ref().map(|r| r.n_mol_s[s]);
        }
        out[layout.gas(row)] = rates.each_ref().map(|r| r.gas_k_s);
        out[layout.wall(row)] = rates.each_ref().map(|r| r.wall_k_s);
        out[layout.bed(row)] = rates.each_ref().map(|r| r.bed_mol_s);
    }
}
