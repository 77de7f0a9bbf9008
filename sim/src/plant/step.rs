//! One step of a cluster: its balances by collocation, with the flows through open doors and out of open
//! locks that keep one pressure found along with them.
//!
//! The rates at the three points are found by iteration: the states at the points are put right by what
//! the rates leave over, through the linear part of the balances (exchange, ventilation, gas against
//! wall). What is left when it stops is below [`LEFT_OVER`]. How far the rate at the start lies off the
//! parabola through the three tells how much the step strays; it is taken again shorter if that is more
//! than [`MOST_STRAY`].

use super::bench::Bench;
use super::core::{Edge, EdgeKind, Plant};
use super::course::bits;
use super::freeze::{Moment, NEAR_PA, through_mol_s};
use super::frozen::{Frozen, Rates};
use super::level::Outside;
use super::linear::TRACE_SHARE;
use super::radau::{ADDS, AT_START, OFF_PARABOLA, POINTS, RATES, STRAY, apply};
use super::slots::BANKED;
use super::state::{Node, WallModel};
use crate::gas::flow::Nozzle;
use crate::gas::{self, Amounts, SPECIES};
use crate::plant::MAX_BANKS;
use crate::units::*;

/// How far inside a step amounts and temperatures may stray, as a share of themselves.
const MOST_STRAY: f64 = 1e-7;
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
/// Share of a pressure difference that may be levelled in a first step.
const LEVELLED_A_STEP: f64 = 0.3;
/// Share of a small compartment's contents that may rush in in a first step.
const FILLED_A_STEP: f64 = 0.3;
/// Relative change of moles in a first step.
const CHANGED_A_STEP: f64 = 0.1;
/// Change of gas temperature in a first step, K.
const WARMED_A_STEP_K: f64 = 2.0;

/// The point whose linear part stands for the step's.
const MIDDLE: usize = 1;

impl Plant {
    /// Freezes a cluster's members and edges at the start of a step, at `t_s`; gives how much of a first
    /// step's change happens per second.
    pub(super) fn begin(&mut self, c: usize, t_s: f64, b: &mut Bench) -> f64 {
        self.line_up_banks(c, t_s as i64, b);
        let mut change = 0.0f64;
        let mut films = std::mem::take(&mut self.films);
        for i in self.clusters[c].members.iter().copied() {
            b.in_sea[i] = self.steel.compartments[i].bell.is_some() && self.bells[i].msw(t_s.floor() + 0.5) > 0.0;
            let at = moment(t_s, b.in_sea[i], b.outside[i], &b.bank_start);
            self.freeze(i, &self.nodes[i], &at, &mut films[i][0], &mut b.start[i]);
            b.leaves_s[i] = 0.0;
            b.start_rates[i] = b.start[i].rates(&self.nodes[i], self.steel.compartments[i].wall_j_k);
        }
        self.films = films;
        for x in self.clusters[c].edges.iter().copied() {
            let Edge { a, b: to, .. } = self.edges[x];
            let states = [(&self.nodes[a], &b.start[a]), (&self.nodes[to], &b.start[to])];
            b.share[x] = self.edge_shares(x, states);
            b.leaves_s[a] += b.share[x].0;
            b.leaves_s[to] += b.share[x].1;
            let (rate_a, rate_b, flow) = exchange(b.share[x], states);
            add_rates(&mut b.start_rates[a], &rate_a);
            add_rates(&mut b.start_rates[to], &rate_b);
            if !self.ways[x].level {
                change = change.max(self.levels_per_s(x, states, flow.iter().sum::<f64>().abs()));
            }
        }
        for i in self.clusters[c].members.iter().copied() {
            let (rates, f) = (&b.start_rates[i], &b.start[i]);
            let moles: f64 = rates.n_mol_s.iter().sum::<f64>().abs() / f.n_mol;
            let warming = rates.gas_k_s.abs();
            change = change.max(moles / CHANGED_A_STEP);
            // What has come near its wall's temperature relaxes smoothly however long the step.
            let gap_k = (self.nodes[i].gas_k - self.nodes[i].wall_k).abs();
            change = change.max(warming / WARMED_A_STEP_K.max(0.5 * gap_k));
            change = change.max(self.dies_away_s(i, b));
        }
        change
    }

    /// One over the longest step that follows a compartment's rates finely enough if each dies away by its own
    /// share a second: what such a step strays is known.
    fn dies_away_s(&self, i: usize, b: &Bench) -> f64 {
        let (node, rates, f) = (&self.nodes[i], &b.start_rates[i], &b.start[i]);
        let shorter = |rate: f64, dies_s: f64, scale: f64| {
            let strays = rate.abs() * dies_s * dies_s * dies_s * STRAY * OFF_PARABOLA / (scale * MOST_STRAY);
            strays.sqrt().sqrt()
        };
        let mut most = shorter(rates.gas_k_s, (f.heat_w_k + f.wall_w_k) / f.c_j_k, node.gas_k);
        for s in 0..SPECIES {
            let dies_s = f.dies_s(s) + b.leaves_s[i];
            most = most.max(shorter(rates.n_mol_s[s], dies_s, node.n_mol[s] + TRACE_SHARE * f.n_mol));
        }
        most
    }

    /// Share of a difference, or of a filling, that a first step may take, per second.
    fn levels_per_s(&self, x: usize, states: [(&Node, &Frozen); 2], flow: f64) -> f64 {
        let Edge { a, b, .. } = self.edges[x];
        let (va, vb) = (self.steel.compartments[a].volume_m3, self.steel.compartments[b].volume_m3);
        let (na, nb) = (states[0].1.n_mol, states[1].1.n_mol);
        let level = (na * vb - nb * va).abs() / (va + vb);
        let down = if states[0].1.p_pa > states[1].1.p_pa { nb } else { na };
        if flow == 0.0 { 0.0 } else { (flow / (LEVELLED_A_STEP * level.max(1e-9))).max(flow / (FILLED_A_STEP * down)) }
    }

    /// Moles in the banks lined up to a cluster's members.
    fn line_up_banks(&self, c: usize, t_s: i64, b: &mut Bench) {
        b.banks_used = self.banks_of(c);
        for bank in bits(b.banks_used) {
            b.bank_start[bank] = self.bank_at(BankId(bank as u8), t_s).total();
            for point in &mut b.bank {
                point[bank] = b.bank_start[bank];
            }
        }
    }

    /// Banks that a cluster's members draw from or fill, as bits.
    fn banks_of(&self, c: usize) -> u32 {
        let mut used = 0u32;
        for set in self.clusters[c].members.iter().map(|i| &self.settings[*i]) {
            let recovery = self.steel.recovery.filter(|_| set.recovery).map(|r| r.bank);
            let lines = [set.supply_bank, set.oxygen_bank, set.bibs_bank, set.main_bank, set.secondary_bank];
            for bank in lines.into_iter().chain([set.reclaim_to, recovery]).flatten() {
                used |= 1 << bank.index();
            }
        }
        used
    }

    /// Share of a's contents that goes to b per second, and of b's to a: turning over through an open door,
    /// or flow through a valve.
    fn edge_shares(&self, x: usize, states: [(&Node, &Frozen); 2]) -> (f64, f64) {
        let Edge { kind, a, b } = self.edges[x];
        let area_m2 = match kind {
            EdgeKind::Door(d) if self.doors[d].open => {
                let q = self.steel.doors[d].exchange_m3_s;
                let volume = |i: usize| self.steel.compartments[i].volume_m3;
                return (q / volume(a), q / volume(b));
            }
            EdgeKind::Door(d) => self.doors[d].equalise.opening() * self.steel.doors[d].equalise_m2,
            EdgeKind::Drain(c) => self.settings[c].drain.opening() * self.steel.compartments[c].drain_m2,
        };
        if self.ways[x].level || area_m2 <= 0.0 {
            return (0.0, 0.0);
        }
        let downhill = states[0].1.p_pa > states[1].1.p_pa;
        let (up, down) = if downhill { (states[0], states[1]) } else { (states[1], states[0]) };
        let mix = Amounts(up.0.n_mol).scaled(1.0 / up.1.n_mol);
        let share = through_mol_s(area_m2, &Nozzle::with_cp(&mix, up.1.cp_j_mol_k), up.1.p_pa, up.0.gas_k, down.1.p_pa) / up.1.n_mol;
        if downhill { (share, 0.0) } else { (0.0, share) }
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
            let off = self.put_right(c, h_s, b).max(self.level_points(c, t_s, h_s, b));
            if !off.is_finite() || (round > 3 && off > 0.9 * before) {
                return None;
            }
            if off * (off / before).clamp(LEAST_LEFT, 1.0) < LEFT_OVER {
                self.take_in_new_states(c, b);
                return Some(self.strays(c, h_s, b));
            }
            stale = if round == 0 { off > FAR_OFF } else { off > SLOW * before && round > set_at + 1 };
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
                possible &= total > 0.0 && node.gas_k > 100.0 && node.gas_k < 1000.0 && node.wall_k > 100.0;
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
                let states = [(&b.used[a][j], &b.frozen[a][j]), (&b.used[to][j], &b.frozen[to][j])];
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
                let states = [(&b.used[a][j], &b.frozen[a][j]), (&b.used[to][j], &b.frozen[to][j])];
                let (rate_a, rate_b, flow) = exchange(b.point_share[x][j], states);
                b.edge_own[x][j] = flow;
                add_rates(&mut b.own[a][j], &rate_a);
                add_rates(&mut b.own[to][j], &rate_b);
            }
        }
        if self.physics.wall == WallModel::Isothermal {
            for i in self.clusters[c].members.iter().copied() {
                for own in &mut b.own[i] {
                    own.gas_k_s = 0.0;
                    own.wall_k_s = 0.0;
                }
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
                for (slot, rate) in b.frozen[i][j].flows().iter().filter(|(slot, _)| BANKED & (1 << *slot as u32) != 0) {
                    let Some(booking) = self.booking(i, *slot as usize) else { continue };
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
                b.bank[j][bank] = (b.bank_start[bank] + h_s * apply(&ADDS[j], &drawn[bank])).max(0.0);
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
                let states = [(&b.used[a][j], &b.frozen[a][j]), (&b.used[to][j], &b.frozen[to][j])];
                let net = b.level[x][j];
                let shares = if net > 0.0 { (net / states[0].1.n_mol, 0.0) } else { (0.0, -net / states[1].1.n_mol) };
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
                let rate = self.out_rate(i, b.out[i][j], &b.used[i][j], &b.frozen[i][j], &b.bank[j], b.outside[i]);
                self.add_kept(&mut b.rates[i][j], &rate);
            }
        }
    }

    fn add_kept(&self, to: &mut Rates, rate: &Rates) {
        let isothermal = self.physics.wall == WallModel::Isothermal;
        let warming = if isothermal { 0.0 } else { rate.gas_k_s };
        add_rates(to, &Rates { gas_k_s: warming, ..*rate });
    }

    /// What flowing out at a rate, mol/s (in, below zero), does to a compartment open to the outside.
    fn out_rate(&self, i: usize, out: f64, node: &Node, f: &Frozen, bank_mol: &[f64; MAX_BANKS], outside: Outside) -> Rates {
        if out >= 0.0 {
            let share = out / f.n_mol;
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
    pub(super) fn comes_in(&self, i: usize, p_pa: f64, bank_mol: &[f64; MAX_BANKS], outside: Outside) -> (Amounts, f64) {
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
                most = most.max((start.gas_k_s - apply(&AT_START, &points)).abs() / self.nodes[i].gas_k);
            }
        }
        most * by
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

fn add_rates(to: &mut Rates, rate: &Rates) {
    for (sum, part) in to.n_mol_s.iter_mut().zip(rate.n_mol_s) {
        *sum += part;
    }
    to.gas_k_s += rate.gas_k_s;
    to.wall_k_s += rate.wall_k_s;
}

/// What exchanging these shares of their contents does to two compartments, and the net flow from the first
/// to the second, mol/s.
fn exchange(shares: (f64, f64), states: [(&Node, &Frozen); 2]) -> (Rates, Rates, [f64; SPECIES]) {
    let [(na, fa), (nb, fb)] = states;
    let flow: [f64; SPECIES] = std::array::from_fn(|s| shares.0 * na.n_mol[s] - shares.1 * nb.n_mol[s]);
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

fn moment(t_s: f64, in_sea: bool, outside: Outside, bank_mol: &[f64; MAX_BANKS]) -> Moment<'_> {
    Moment { t_s, in_sea, let_down: outside == Outside::LetDown, bank_mol }
}
