//! One step of a cluster: its balances by collocation, with the flows through open doors and out of open
//! locks that keep one pressure found along with them.
//!
//! The rates at the three points are found by iteration: the states at the points are put right by what
//! the rates leave over, through the linear part of the balances (exchange, ventilation, gas against
//! wall). They start from the course of the last step, where nothing was changed since. What is left when it
//! stops is below [`LEFT_OVER`]. How far the rate at the start lies off the
//! parabola through the three tells how much the step strays; it is taken again shorter if that is more
//! than [`MOST_STRAY`].

use super::bench::Bench;
use super::core::{Edge, EdgeKind, Plant};
use super::course::bits;
use super::freeze::{Moment, NEAR_PA, through_mol_s};
use super::frozen::{Frozen, Rates};
use super::level::Outside;
use super::linear::TRACE_SHARE;
use super::radau::{ADDS, AT_START, POINTS, RATES, STRAY, apply};
use super::slots::BANKED;
use super::state::{Node, WallModel};
use super::valves::nozzle;
use crate::MAX_BANKS;
use deepstay_core::gas::{self, Amounts, SPECIES};
use deepstay_core::units::*;

/// How far inside a step amounts and temperatures may stray, as a share of themselves.
pub(super) const MOST_STRAY: f64 = 1e-7;
/// What the iteration may leave over, as a share of amounts and temperatures; a round leaves about the share of
/// what was off that the last one did.
const LEFT_OVER: f64 = 3e-9;
/// A round is not trusted to leave less than this share.
const LEAST_LEFT: f64 = 0.02;
/// The linear part is taken anew, in the middle of the step, where the first round is this far off, or where a
/// round leaves more than this share of what the last one left.
const FAR_OFF: f64 = 3e-3;
const SLOW: f64 = 0.1;
/// Most rounds of the iteration.
const MOST_ROUNDS: usize = 12;

/// The point whose linear part stands for the step's.
const MIDDLE: usize = 1;

impl Plant {
    /// Share of a's contents that goes to b per second, and of b's to a: turning over through an open door,
    /// or flow through a valve.
    pub(super) fn edge_shares(&self, x: usize, states: [(&Node, &Frozen); 2]) -> (f64, f64) {
        let Edge { kind, a, b } = self.edges[x];
        if let EdgeKind::Door(d) = kind
            && self.doors[d].open
        {
            let q = self.steel.doors[d].exchange_m3_s;
            let volume = |i: usize| self.steel.compartments[i].volume_m3;
            return (q / volume(a), q / volume(b));
        }
        let area_m2 = self.valve_area_m2(x);
        if self.ways[x].level || area_m2 <= 0.0 {
            return (0.0, 0.0);
        }
        let downhill = states[0].1.p_pa > states[1].1.p_pa;
        let (up, down) = if downhill {
            (states[0], states[1])
        } else {
            (states[1], states[0])
        };
        let nozzle = nozzle(up.0, up.1.cp_j_mol_k);
        let share =
            through_mol_s(area_m2, &nozzle, up.1.p_pa, up.0.gas_k, down.1.p_pa) / up.1.n_mol;
        if downhill { (share, 0.0) } else { (0.0, share) }
    }

    /// Opening of the valve along an edge, m2; nothing where a door stands open.
    pub(super) fn valve_area_m2(&self, x: usize) -> f64 {
        match self.edges[x].kind {
            EdgeKind::Door(d) if self.doors[d].open => 0.0,
            EdgeKind::Door(d) => self.doors[d].equalise.opening() * self.steel.doors[d].equalise_m2,
            EdgeKind::Drain(c) => {
                self.settings[c].drain.opening() * self.steel.compartments[c].drain_m2
            }
        }
    }

    /// Takes a step of `h_s` seconds from the anchor's state, begun before. Gives how far it strays in units of
    /// what it may; none if the iteration does not settle.
    pub(super) fn step(&mut self, c: usize, t_s: f64, h_s: f64, b: &mut Bench) -> Option<f64> {
        self.set_linear_part(c, h_s, None, b);
        self.first_guess(c, h_s, b);
        let mut before = f64::INFINITY;
        let (mut stale, mut set_at) = (false, 0);
        for round in 0..MOST_ROUNDS {
            self.rates_at_points(c, t_s, h_s, b)?;
            if stale {
                self.set_linear_part(c, h_s, Some(MIDDLE), b);
                set_at = round;
            }
            let off = self
                .put_right(c, h_s, b)
                .max(self.level_points(c, t_s, h_s, b));
            let off = off.max(self.put_valves_right(c, h_s, b));
            if !off.is_finite() || (round > 3 && off > 0.9 * before) {
                return None;
            }
            if off * (off / before).clamp(LEAST_LEFT, 1.0) < LEFT_OVER {
                self.take_in_new_states(c, b);
                return Some(self.strays(c, h_s, b));
            }
            stale = if round == 0 {
                off > FAR_OFF
            } else {
                off > SLOW * before && round > set_at + 1
            };
            before = off;
        }
        None
    }

    /// Rates and flows in the states at the points; none where a state cannot be.
    fn rates_at_points(&mut self, c: usize, t_s: f64, h_s: f64, b: &mut Bench) -> Option<()> {
        let mut films = std::mem::take(&mut self.films);
        let mut possible = true;
        for i in self.clusters[c].members.iter().copied() {
            let wall_j_k = self.steel.compartments[i].wall_j_k;
            for j in 0..3 {
                let node = b.node[i][j];
                let total: f64 = node.n_mol.iter().sum();
                possible &=
                    total > 0.0 && node.gas_k > 100.0 && node.gas_k < 1000.0 && node.wall_k > 100.0;
                if !possible {
                    break;
                }
                let at = moment(t_s + h_s * POINTS[j], b.in_sea[i], b.outside[i], &b.bank[j]);
                self.freeze(i, &node, &at, &mut films[i][1 + j], &mut b.frozen[i][j]);
                b.own[i][j] = b.frozen[i][j].rates(&node, wall_j_k);
                b.used[i][j] = node;
            }
        }
        self.films = films;
        if !possible {
            return None;
        }
        for x in self.clusters[c].edges.iter().copied() {
            let Edge { a, b: to, .. } = self.edges[x];
            for j in 0..3 {
                let states = [
                    (&b.used[a][j], &b.frozen[a][j]),
                    (&b.used[to][j], &b.frozen[to][j]),
                ];
                b.point_share[x][j] = self.edge_shares(x, states);
            }
        }
        self.add_exchange(c, b);
        self.draw(c, h_s, b);
        self.add_level(c, b);
        Some(())
    }

    /// Adds to the members' own rates at the points what they exchange.
    fn add_exchange(&self, c: usize, b: &mut Bench) {
        for x in self.clusters[c].edges.iter().copied() {
            let Edge { a, b: to, .. } = self.edges[x];
            for j in 0..3 {
                let states = [
                    (&b.used[a][j], &b.frozen[a][j]),
                    (&b.used[to][j], &b.frozen[to][j]),
                ];
                let (rate_a, rate_b, flow) = exchange(b.point_share[x][j], states);
                b.edge_own[x][j] = flow;
                add_rates(&mut b.own[a][j], &rate_a);
                add_rates(&mut b.own[to][j], &rate_b);
            }
        }
        if self.physics.wall == WallModel::Isothermal {
            for i in self.clusters[c].members.iter().copied() {
                b.own[i].iter_mut().for_each(Rates::keep_warmth);
            }
        }
    }

    /// Takes the flows, as shares of what is there, in the states at the points as last put right. What a round
    /// changes goes by shares nearly all, so this is as good as another round.
    fn take_in_new_states(&self, c: usize, b: &mut Bench) {
        for i in self.clusters[c].members.iter().copied() {
            let wall_j_k = self.steel.compartments[i].wall_j_k;
            for j in 0..3 {
                b.used[i][j] = b.node[i][j];
                b.own[i][j] = b.frozen[i][j].rates(&b.used[i][j], wall_j_k);
            }
        }
        self.take_valves(b);
        self.add_exchange(c, b);
        self.add_level(c, b);
    }

    /// What the cluster's own flows leave in the banks at the points.
    fn draw(&self, c: usize, h_s: f64, b: &mut Bench) {
        if b.banks_used == 0 {
            return;
        }
        let mut drawn = [[0.0; 3]; MAX_BANKS];
        let mut any = 0u32;
        for i in self.clusters[c].members.iter().copied() {
            for j in 0..3 {
                for (slot, rate) in b.frozen[i][j]
                    .flows()
                    .iter()
                    .filter(|(slot, _)| BANKED & (1 << *slot as u32) != 0)
                {
                    let Some(booking) = self.booking(i, *slot as usize) else {
                        continue;
                    };
                    for (place, sign) in [(booking.from, -1.0), (booking.to, 1.0)] {
                        if let Place::Bank(bank) = place {
                            let flow: f64 = rate.mol_s(&b.used[i][j].n_mol).iter().sum();
                            drawn[bank.index()][j] += sign * flow;
                            any |= 1 << bank.index();
                        }
                    }
                }
            }
        }
        for bank in bits(any) {
            for j in 0..3 {
                b.bank[j][bank] =
                    (b.bank_start[bank] + h_s * apply(&ADDS[j], &drawn[bank])).max(0.0);
            }
        }
    }

    /// Adds to the rates what keeps one pressure.
    fn add_level(&self, c: usize, b: &mut Bench) {
        for i in self.clusters[c].members.iter().copied() {
            b.rates[i] = b.own[i];
        }
        for x in self.clusters[c].edges.iter().copied() {
            b.edge[x] = b.edge_own[x];
            if !self.ways[x].level {
                continue;
            }
            let Edge { a, b: to, .. } = self.edges[x];
            for j in 0..3 {
                let states = [
                    (&b.used[a][j], &b.frozen[a][j]),
                    (&b.used[to][j], &b.frozen[to][j]),
                ];
                let net = b.level[x][j];
                let shares = if net > 0.0 {
                    (net / states[0].1.n_mol, 0.0)
                } else {
                    (0.0, -net / states[1].1.n_mol)
                };
                let (rate_a, rate_b, flow) = exchange(shares, states);
                self.add_kept(&mut b.rates[a][j], &rate_a);
                self.add_kept(&mut b.rates[to][j], &rate_b);
                for (sum, part) in b.edge[x][j].iter_mut().zip(flow) {
                    *sum += part;
                }
            }
        }
        for k in 0..b.trees.len() {
            let i = b.trees[k].root();
            if b.outside[i] == Outside::Shut {
                continue;
            }
            for j in 0..3 {
                let rate = self.out_rate(
                    i,
                    b.out[i][j],
                    &b.used[i][j],
                    &b.frozen[i][j],
                    &b.bank[j],
                    b.outside[i],
                );
                self.add_kept(&mut b.rates[i][j], &rate);
            }
        }
    }

    fn add_kept(&self, to: &mut Rates, rate: &Rates) {
        let isothermal = self.physics.wall == WallModel::Isothermal;
        let warming = if isothermal { 0.0 } else { rate.gas_k_s };
        add_rates(
            to,
            &Rates {
                gas_k_s: warming,
                ..*rate
            },
        );
    }

    /// What flowing out at a rate, mol/s (in, below zero), does to a compartment open to the outside.
    fn out_rate(
        &self,
        i: usize,
        out: f64,
        node: &Node,
        f: &Frozen,
        bank_mol: &[f64; MAX_BANKS],
        outside: Outside,
    ) -> Rates {
        if out >= 0.0 {
            let share = out / node.n_mol.iter().sum::<f64>();
            return Rates {
                n_mol_s: node.n_mol.map(|n| -share * n),
                gas_k_s: -out * f.push_j_mol_k * node.gas_k / f.c_j_k,
                ..Rates::default()
            };
        }
        let (mix, t_k) = self.comes_in(i, f.p_pa, bank_mol, outside);
        let cp = gas::state::cp_j_mol_k(&mix);
        Rates {
            n_mol_s: mix.scaled(-out).0,
            gas_k_s: -out * (cp * (t_k - node.gas_k) + f.push_j_mol_k * node.gas_k) / f.c_j_k,
            ..Rates::default()
        }
    }

    /// What comes into a compartment open to the outside that is below its pressure, and its temperature, K.
    pub(super) fn comes_in(
        &self,
        i: usize,
        p_pa: f64,
        bank_mol: &[f64; MAX_BANKS],
        outside: Outside,
    ) -> (Amounts, f64) {
        match (outside, self.settings[i].supply_bank) {
            (Outside::Sea, Some(bank)) => {
                let bank_pa = self.bank_holding_pa(bank, bank_mol[bank.index()]);
                (self.bank_mix(bank), self.arrives_k(bank, bank_pa, p_pa))
            }
            _ => (Amounts::air(), self.steel.deck_t_k),
        }
    }

    /// How far the step strays, in units of what it may.
    fn strays(&self, c: usize, h_s: f64, b: &Bench) -> f64 {
        let by = STRAY * h_s / MOST_STRAY;
        let mut most = 0.0f64;
        for i in self.clusters[c].members.iter().copied() {
            let (start, own) = (&b.start_rates[i], &b.own[i]);
            for s in 0..SPECIES {
                let points = [own[0].n_mol_s[s], own[1].n_mol_s[s], own[2].n_mol_s[s]];
                let scale = self.nodes[i].n_mol[s] + TRACE_SHARE * b.start[i].n_mol;
                most = most.max((start.n_mol_s[s] - apply(&AT_START, &points)).abs() / scale);
            }
            if self.physics.wall != WallModel::Isothermal {
                let points = [own[0].gas_k_s, own[1].gas_k_s, own[2].gas_k_s];
                most = most
                    .max((start.gas_k_s - apply(&AT_START, &points)).abs() / self.nodes[i].gas_k);
            }
        }
        most * by
    }

    /// Takes the flows at the start for those at the points: for a moment in which no others are found.
    pub(super) fn go_as_at_start(&self, c: usize, b: &mut Bench) {
        for i in self.clusters[c].members.iter().copied() {
            for j in 0..3 {
                b.frozen[i][j] = b.start[i].clone();
                b.used[i][j] = self.nodes[i];
            }
            let mut rates = b.start_rates[i];
            if self.physics.wall == WallModel::Isothermal {
                rates.keep_warmth();
            }
            b.rates[i] = [rates; 3];
            b.out[i] = [0.0; 3];
        }
        for x in self.clusters[c].edges.iter().copied() {
            let Edge { a, b: to, .. } = self.edges[x];
            let (_, _, flow) = exchange(
                b.share[x],
                [
                    (&self.nodes[a], &b.start[a]),
                    (&self.nodes[to], &b.start[to]),
                ],
            );
            b.edge[x] = [flow; 3];
            b.level[x] = [0.0; 3];
        }
    }

    /// Stores a step's rates and flows as the cluster's course.
    pub(super) fn keep(&mut self, c: usize, h_s: f64, b: &Bench) {
        self.clusters[c].went_s = Some(h_s);
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            let course = &mut self.courses[i];
            course.clear();
            course.p_pa = b.start[i].p_pa;
            course.take_rates(&b.rates[i]);
            self.level_out[i] = b.out[i];
            for j in 0..3 {
                course.take_flows(j, &b.frozen[i][j], &b.used[i][j].n_mol);
            }
        }
        for k in 0..b.trees.len() {
            self.keep_out(b.trees[k].root(), b);
        }
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            self.edge_flows[x] = b.edge[x];
            self.edge_level[x] = b.level[x];
        }
    }
}

/// How much net moles gained at the points change the flow there: the rates whose integrals these are.
pub(super) fn rates_of(gained: &[f64; 3], h_s: f64) -> [f64; 3] {
    std::array::from_fn(|j| apply(&RATES[j], gained) / h_s)
}

pub(super) fn add_rates(to: &mut Rates, rate: &Rates) {
    for (sum, part) in to.n_mol_s.iter_mut().zip(rate.n_mol_s) {
        *sum += part;
    }
    to.gas_k_s += rate.gas_k_s;
    to.wall_k_s += rate.wall_k_s;
}

/// What exchanging these shares of their contents does to two compartments, and the net flow from the first
/// to the second, mol/s.
pub(super) fn exchange(
    shares: (f64, f64),
    states: [(&Node, &Frozen); 2],
) -> (Rates, Rates, [f64; SPECIES]) {
    let [(na, fa), (nb, fb)] = states;
    let flow: [f64; SPECIES] =
        std::array::from_fn(|s| shares.0 * na.n_mol[s] - shares.1 * nb.n_mol[s]);
    let (to_b, to_a) = (shares.0 * fa.n_mol, shares.1 * fb.n_mol);
    let warms = |f: &Frozen, t_k: f64, coming: f64, cp: f64, from_k: f64, going: f64| {
        (coming * cp * (from_k - t_k) + (coming - going) * f.push_j_mol_k * t_k) / f.c_j_k
    };
    let a = Rates {
        n_mol_s: flow.map(|x| -x),
        gas_k_s: warms(fa, na.gas_k, to_a, fb.cp_j_mol_k, nb.gas_k, to_b),
        ..Rates::default()
    };
    let b = Rates {
        n_mol_s: flow,
        gas_k_s: warms(fb, nb.gas_k, to_b, fa.cp_j_mol_k, na.gas_k, to_a),
        ..Rates::default()
    };
    (a, b, flow)
}

/// Whether two pressures count as level for an opening between them.
pub(super) fn near(a_pa: f64, b_pa: f64) -> bool {
    (a_pa - b_pa).abs() < NEAR_PA
}

pub(super) fn moment(
    t_s: f64,
    in_sea: bool,
    outside: Outside,
    bank_mol: &[f64; MAX_BANKS],
) -> Moment<'_> {
    Moment {
        t_s,
        in_sea,
        let_down: outside == Outside::LetDown,
        bank_mol,
    }
}
