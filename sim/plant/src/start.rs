//! What a step starts from: flows and rates at its start, and how long a first step may be where nothing is
//! known of the one before.

use super::bench::Bench;
use super::core::{Edge, Plant};
use super::course::bits;
use super::frozen::Frozen;
use super::linear::TRACE_SHARE;
use super::radau::{OFF_PARABOLA, STRAY};
use super::state::Node;
use super::step::{MOST_STRAY, add_rates, exchange, moment};
use deepstay_core::gas::SPECIES;
use deepstay_core::units::*;

/// Share of a pressure difference that may be levelled in a first step.
const LEVELLED_A_STEP: f64 = 0.3;
/// Share of a small compartment's contents that may rush in in a first step.
const FILLED_A_STEP: f64 = 0.3;
/// Relative change of moles in a first step.
const CHANGED_A_STEP: f64 = 0.1;
/// Change of gas temperature in a first step, K.
const WARMED_A_STEP_K: f64 = 2.0;

impl Plant {
    /// Freezes a cluster's members and edges at the start of a step, at `t_s`; gives how much of a first
    /// step's change happens per second.
    pub(super) fn begin(&mut self, c: usize, t_s: f64, in_parts: bool, b: &mut Bench) -> f64 {
        self.line_up_banks(c, t_s as i64, in_parts, b);
        let mut change = 0.0f64;
        let mut films = std::mem::take(&mut self.films);
        for i in self.clusters[c].members.iter().copied() {
            b.in_sea[i] = self.steel.compartments[i].bell.is_some()
                && self.bells[i].msw(t_s.floor() + 0.5) > 0.0;
            let at = moment(t_s, b.in_sea[i], b.outside[i], &b.bank_start);
            self.freeze(i, &self.nodes[i], &at, &mut films[i][0], &mut b.start[i]);
            b.leaves_s[i] = 0.0;
            b.start_rates[i] =
                b.start[i].rates(&self.nodes[i], self.steel.compartments[i].wall_j_k);
        }
        self.films = films;
        for x in self.clusters[c].edges.iter().copied() {
            let Edge { a, b: to, .. } = self.edges[x];
            let states = [
                (&self.nodes[a], &b.start[a]),
                (&self.nodes[to], &b.start[to]),
            ];
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
            let strays =
                rate.abs() * dies_s * dies_s * dies_s * STRAY * OFF_PARABOLA / (scale * MOST_STRAY);
            strays.sqrt().sqrt()
        };
        let mut most = shorter(
            rates.gas_k_s,
            (f.heat_w_k + f.wall_w_k) / f.c_j_k,
            node.gas_k,
        );
        for s in 0..SPECIES {
            let dies_s = f.dies_s(s) + b.leaves_s[i];
            most = most.max(shorter(
                rates.n_mol_s[s],
                dies_s,
                node.n_mol[s] + TRACE_SHARE * f.n_mol,
            ));
        }
        most
    }

    /// Share of a difference, or of a filling, that a first step may take, per second.
    fn levels_per_s(&self, x: usize, states: [(&Node, &Frozen); 2], flow: f64) -> f64 {
        let Edge { a, b, .. } = self.edges[x];
        let (va, vb) = (
            self.steel.compartments[a].volume_m3,
            self.steel.compartments[b].volume_m3,
        );
        let (na, nb) = (states[0].1.n_mol, states[1].1.n_mol);
        let level = (na * vb - nb * va).abs() / (va + vb);
        let down = if states[0].1.p_pa > states[1].1.p_pa {
            nb
        } else {
            na
        };
        if flow == 0.0 {
            0.0
        } else {
            (flow / (LEVELLED_A_STEP * level.max(1e-9))).max(flow / (FILLED_A_STEP * down))
        }
    }

    /// Moles in the banks lined up to a cluster's members, less what the earlier parts of a second have drawn.
    fn line_up_banks(&self, c: usize, t_s: i64, in_parts: bool, b: &mut Bench) {
        b.banks_used = self.banks_of(c);
        for bank in bits(b.banks_used) {
            let drawn = if in_parts {
                self.drawn_in_parts(c, BankId(bank as u8))
            } else {
                0.0
            };
            b.bank_start[bank] = self.bank_at(BankId(bank as u8), t_s).total() - drawn;
            for point in &mut b.bank {
                point[bank] = b.bank_start[bank];
            }
        }
    }

    /// Banks that a cluster's members draw from or fill, as bits.
    pub(super) fn banks_of(&self, c: usize) -> u32 {
        let mut used = 0u32;
        for set in self.clusters[c].members.iter().map(|i| &self.settings[*i]) {
            let recovery = self.steel.recovery.filter(|_| set.recovery).map(|r| r.bank);
            let lines = [
                set.supply_bank,
                set.oxygen_bank,
                set.bibs_bank,
                set.main_bank,
                set.secondary_bank,
            ];
            for bank in lines
                .into_iter()
                .chain([set.reclaim_to, recovery])
                .flatten()
            {
                used |= 1 << bank.index();
            }
        }
        used
    }
}
