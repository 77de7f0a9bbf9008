//! Steps a cluster's moles, gas and wall temperatures from its anchor with frozen coefficients:
//! exactly, whatever the length of the step.

use super::core::{Evaluated, Plant};
use super::frozen::Frozen;
use super::linear::{phi, step};
use super::slots::Slot;
use super::state::WallModel;
use crate::gas::{SPECIES, Species};
use crate::plant::MAX_COMPARTMENTS;
use crate::units::R;

const CO2: usize = Species::Co2 as usize;
const H2O: usize = Species::H2o as usize;

impl Plant {
    /// State `dt` seconds after the anchor, before levelling.
    pub(super) fn propagate(&self, c: usize, dt: f64, out: &mut Evaluated) {
        let cluster = &self.clusters[c];
        for i in cluster.members.iter().copied() {
            out.clear(i);
        }
        if let [i] = cluster.members[..] {
            self.one_alone(i, dt, out);
        } else {
            self.several(c, dt, out);
        }
        for i in cluster.members.iter().copied() {
            let from = &self.nodes[i];
            let absorbing = self.frozen[i].active & (1 << Slot::Absorption as usize) != 0;
            out.node[i].bed_mol = from.bed_mol;
            out.node[i].bed_s = from.bed_s;
            if absorbing {
                out.node[i].bed_mol += self.frozen[i].rates[Slot::Absorption as usize].k * out.integral[i][CO2];
                out.node[i].bed_s += dt;
            }
        }
    }

    fn one_alone(&self, i: usize, dt: f64, out: &mut Evaluated) {
        let f = &self.frozen[i];
        let from = &self.nodes[i];
        let all = phi(f.k_all * dt);
        let co2 = if f.k_co2 == 0.0 { all } else { phi((f.k_all + f.k_co2) * dt) };
        let h2o = if f.k_h2o == 0.0 { all } else { phi((f.k_all + f.k_h2o) * dt) };
        for s in 0..SPECIES {
            let (k, (one, two)) = match s {
                CO2 => (f.k_all + f.k_co2, co2),
                H2O => (f.k_all + f.k_h2o, h2o),
                _ => (f.k_all, all),
            };
            let w = f.source[s] - k * from.n_mol[s];
            out.node[i].n_mol[s] = from.n_mol[s] + w * one * dt;
            out.integral[i][s] = from.n_mol[s] * dt + w * two * dt * dt;
        }
        let mut y = [from.gas_k, from.wall_k];
        let (rows, source) = heat_rows(f);
        let wall_j_k = self.steel.compartments[i].wall_j_k;
        let a = [rows, f.wall_w_k / f.c_j_k, f.wall_w_k / wall_j_k, -(f.wall_w_k + f.out_w_k) / wall_j_k];
        let s = [source, (f.out_w_k * f.out_k + f.wall_heat_w) / wall_j_k];
        if self.physics.wall == WallModel::Isothermal {
            out.node[i].gas_k = from.gas_k;
            out.node[i].wall_k = from.wall_k;
            return;
        }
        step(2, &a, &s, &mut y, &mut [0.0; 2], dt);
        out.node[i].gas_k = y[0];
        out.node[i].wall_k = y[1];
    }

    fn several(&self, c: usize, dt: f64, out: &mut Evaluated) {
        let members = &self.clusters[c].members;
        let m = members.len();
        let mut place = [0usize; MAX_COMPARTMENTS];
        for (row, i) in members.iter().enumerate() {
            place[*i] = row;
        }
        let mut a = [0.0; MAX_COMPARTMENTS * MAX_COMPARTMENTS];
        for e in &self.clusters[c].edges {
            let (edge, f) = (self.edges[*e], self.frozen_edges[*e]);
            let (ra, rb) = (place[edge.a], place[edge.b]);
            a[ra * m + ra] -= f.k_ab;
            a[rb * m + ra] += f.k_ab;
            a[rb * m + rb] -= f.k_ba;
            a[ra * m + rb] += f.k_ba;
        }
        for (row, i) in members.iter().enumerate() {
            a[row * m + row] -= self.frozen[*i].k_all;
        }
        for s in 0..SPECIES {
            let nothing = members.iter().all(|i| self.nodes[*i].n_mol[s] == 0.0 && self.frozen[*i].source[s] == 0.0);
            if nothing {
                for i in members {
                    out.node[*i].n_mol[s] = 0.0;
                }
                continue;
            }
            let mut y = [0.0; MAX_COMPARTMENTS];
            let mut source = [0.0; MAX_COMPARTMENTS];
            let mut integral = [0.0; MAX_COMPARTMENTS];
            let mut own = a;
            for (row, i) in members.iter().enumerate() {
                let f = &self.frozen[*i];
                y[row] = self.nodes[*i].n_mol[s];
                source[row] = f.source[s];
                match s {
                    CO2 => own[row * m + row] -= f.k_co2,
                    H2O => own[row * m + row] -= f.k_h2o,
                    _ => {}
                }
            }
            step(m, &own[..m * m], &source, &mut y, &mut integral, dt);
            for (row, i) in members.iter().enumerate() {
                out.node[*i].n_mol[s] = y[row];
                out.integral[*i][s] = integral[row];
            }
        }
        for e in &self.clusters[c].edges {
            let (edge, f) = (self.edges[*e], self.frozen_edges[*e]);
            for s in 0..SPECIES {
                out.edge[*e][s] = f.k_ab * out.integral[edge.a][s] - f.k_ba * out.integral[edge.b][s];
            }
        }
        self.several_warm(c, &place, dt, out);
    }

    fn several_warm(&self, c: usize, place: &[usize; MAX_COMPARTMENTS], dt: f64, out: &mut Evaluated) {
        let members = &self.clusters[c].members;
        if self.physics.wall == WallModel::Isothermal {
            for i in members {
                out.node[*i].gas_k = self.nodes[*i].gas_k;
                out.node[*i].wall_k = self.nodes[*i].wall_k;
            }
            return;
        }
        let m = members.len();
        let w = 2 * m;
        let mut a = [0.0; 4 * MAX_COMPARTMENTS * MAX_COMPARTMENTS];
        let mut s = [0.0; 2 * MAX_COMPARTMENTS];
        let mut y = [0.0; 2 * MAX_COMPARTMENTS];
        for (row, i) in members.iter().enumerate() {
            let f = &self.frozen[*i];
            let wall_j_k = self.steel.compartments[*i].wall_j_k;
            let (diagonal, source) = heat_rows(f);
            a[row * w + row] = diagonal;
            a[row * w + m + row] = f.wall_w_k / f.c_j_k;
            a[(m + row) * w + row] = f.wall_w_k / wall_j_k;
            a[(m + row) * w + m + row] = -(f.wall_w_k + f.out_w_k) / wall_j_k;
            s[row] = source;
            s[m + row] = (f.out_w_k * f.out_k + f.wall_heat_w) / wall_j_k;
            y[row] = self.nodes[*i].gas_k;
            y[m + row] = self.nodes[*i].wall_k;
        }
        for e in &self.clusters[c].edges {
            let (edge, fe) = (self.edges[*e], self.frozen_edges[*e]);
            for (from, to, k) in [(edge.a, edge.b, fe.k_ab), (edge.b, edge.a, fe.k_ba)] {
                if k == 0.0 {
                    continue;
                }
                let (ff, ft) = (&self.frozen[from], &self.frozen[to]);
                let flow = k * ff.n_mol;
                let (rf, rt) = (place[from], place[to]);
                a[rt * w + rf] += flow * ff.cp_j_mol_k / ft.c_j_k;
                a[rt * w + rt] += flow * (R - ff.cp_j_mol_k) / ft.c_j_k;
                a[rf * w + rf] -= flow * R / ff.c_j_k;
            }
        }
        step(w, &a[..w * w], &s, &mut y, &mut [0.0; 2 * MAX_COMPARTMENTS], dt);
        for (row, i) in members.iter().enumerate() {
            out.node[*i].gas_k = y[row];
            out.node[*i].wall_k = y[m + row];
        }
    }
}

/// Diagonal (1/s) and source (K/s) of a compartment's gas temperature, flows with its neighbours apart.
fn heat_rows(f: &Frozen) -> (f64, f64) {
    ((f.push_w_k - f.heat_w_k - f.wall_w_k) / f.c_j_k, f.heat_w / f.c_j_k)
}
