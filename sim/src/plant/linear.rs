//! The linear part of a step's balances (exchange, ventilation, gas against wall), and how it puts the
//! states at the points right by what the rates leave over.

use super::bench::Bench;
use super::core::{Edge, Plant};
use super::frozen::Frozen;
use super::radau::{ADDS, Coupled, apply, relax};
use super::state::WallModel;
use crate::gas::{SPECIES, Species};
use crate::plant::{MAX_COMPARTMENTS, MAX_EDGES};

/// Share of a compartment's moles added to what a species' errors are measured by: a trace is not followed
/// finer than this share of it.
pub(super) const TRACE_SHARE: f64 = 1e-3;
/// The heat a wall takes by natural convection grows with the difference to the power 5/4 to 4/3.
const FILM_SLOPE: f64 = 1.25;

const CO2: usize = Species::Co2 as usize;
const H2O: usize = Species::H2o as usize;

impl Plant {
    /// Finds the linear part of the balances: as at the start, or as it now is at a point.
    pub(super) fn set_linear_part(&self, c: usize, h_s: f64, point: Option<usize>, b: &mut Bench) {
        let cluster = &self.clusters[c];
        let (members, m) = (&cluster.members, cluster.members.len());
        let mut place = [0usize; MAX_COMPARTMENTS];
        for (row, i) in members.iter().enumerate() {
            place[*i] = row;
        }
        let (start, frozen) = (&b.start, &b.frozen);
        let at = |i: usize| point.map_or(&start[i], |j| &frozen[i][j]);
        let out_share = |i: usize| point.map_or(0.0, |j| b.out[i][j].max(0.0)) / at(i).n_mol;
        let mut shares = [(0.0, 0.0); MAX_EDGES];
        for x in cluster.edges.iter().copied() {
            let Edge { a, b: to, .. } = self.edges[x];
            let net = point.map_or(0.0, |j| b.level[x][j]);
            let (ab, ba) = point.map_or(b.share[x], |j| b.point_share[x][j]);
            shares[x] = (ab + net.max(0.0) / at(a).n_mol, ba + (-net).max(0.0) / at(to).n_mol);
        }
        if m > 1 {
            let fill = |extra: fn(&Frozen) -> f64, to: &mut Coupled| {
                to.set(m, |z| {
                    for (row, i) in members.iter().enumerate() {
                        z[row * m + row] += h_s * (at(*i).k_all + out_share(*i) + extra(at(*i)));
                    }
                    for x in cluster.edges.iter().copied() {
                        let (ra, rb) = (place[self.edges[x].a], place[self.edges[x].b]);
                        let (ab, ba) = (h_s * shares[x].0, h_s * shares[x].1);
                        z[ra * m + ra] += ab;
                        z[rb * m + ra] -= ab;
                        z[rb * m + rb] += ba;
                        z[ra * m + rb] -= ba;
                    }
                });
            };
            fill(|_| 0.0, &mut b.all);
            if members.iter().any(|i| at(*i).k_co2 != 0.0) {
                fill(|f| f.k_co2, &mut b.co2);
            }
            if members.iter().any(|i| at(*i).k_h2o != 0.0) {
                fill(|f| f.k_h2o, &mut b.h2o);
            }
        }
        b.extra_co2 = members.iter().any(|i| at(*i).k_co2 != 0.0);
        b.extra_h2o = members.iter().any(|i| at(*i).k_h2o != 0.0);
        let first = at(members[0]);
        let one = first.k_all + out_share(members[0]);
        b.alone = [one, one + first.k_co2, one + first.k_h2o];
        if self.physics.wall == WallModel::Isothermal {
            return;
        }
        let slope = if self.physics.wall == WallModel::Natural { FILM_SLOPE } else { 1.0 };
        let w = 2 * m;
        b.heat.set(w, |z| {
            for (row, i) in members.iter().enumerate() {
                let f = at(*i);
                let wall_j_k = self.steel.compartments[*i].wall_j_k;
                let wall_w_k = slope * f.wall_w_k;
                let net = f.source.iter().sum::<f64>() - f.k_all * f.n_mol - out_share(*i) * f.n_mol;
                z[row * w + row] = h_s * (f.heat_w_k + wall_w_k - net * f.push_j_mol_k) / f.c_j_k;
                z[row * w + m + row] = -h_s * wall_w_k / f.c_j_k;
                z[(m + row) * w + row] = -h_s * wall_w_k / wall_j_k;
                z[(m + row) * w + m + row] = h_s * (wall_w_k + f.out_w_k) / wall_j_k;
            }
            for x in cluster.edges.iter().copied() {
                let Edge { a, b: to, .. } = self.edges[x];
                for (from, to, k) in [(a, to, shares[x].0), (to, a, shares[x].1)] {
                    let (ff, ft) = (at(from), at(to));
                    let flow = h_s * k * ff.n_mol;
                    let by = flow * ff.cp_j_mol_k / ft.c_j_k;
                    z[place[to] * w + place[from]] -= by;
                    z[place[to] * w + place[to]] += by - flow * ft.push_j_mol_k / ft.c_j_k;
                    z[place[from] * w + place[from]] += flow * ff.push_j_mol_k / ff.c_j_k;
                }
            }
        });
        for i in members.iter().copied() {
            let f = point.map_or(&b.start[i], |j| &b.frozen[i][j]);
            b.relaxes[i] = (f.heat_w_k + slope * f.wall_w_k) / f.c_j_k;
        }
    }

    /// The states at the points if the linear part were all there is.
    pub(super) fn first_guess(&self, c: usize, h_s: f64, b: &mut Bench) {
        let members = &self.clusters[c].members;
        for i in members.iter().copied() {
            b.node[i] = [self.nodes[i]; 3];
            b.out[i] = [0.0; 3];
            let start = b.start_rates[i];
            b.rates[i] = [start; 3];
        }
        for x in self.clusters[c].edges.iter().copied() {
            b.level[x] = [0.0; 3];
        }
        self.put_right(c, h_s, b);
    }

    /// Puts the states at the points right by what the rates leave over; gives the greatest relative change.
    pub(super) fn put_right(&self, c: usize, h_s: f64, b: &mut Bench) -> f64 {
        let members = &self.clusters[c].members;
        let m = members.len();
        let mut off = 0.0f64;
        let mut left = [[0.0; 3]; 2 * MAX_COMPARTMENTS];
        for s in 0..SPECIES {
            let mut any = false;
            for (row, i) in members.iter().copied().enumerate() {
                let rates = [0, 1, 2].map(|j| b.rates[i][j].n_mol_s[s]);
                for j in 0..3 {
                    left[row][j] = self.nodes[i].n_mol[s] + h_s * apply(&ADDS[j], &rates) - b.node[i][j].n_mol[s];
                    any |= left[row][j] != 0.0;
                }
            }
            if !any {
                continue;
            }
            if m == 1 {
                let kind = if s == CO2 { 1 } else if s == H2O { 2 } else { 0 };
                left[0] = relax(h_s * b.alone[kind], &left[0]);
            } else {
                let through = match s {
                    CO2 if b.extra_co2 => &mut b.co2,
                    H2O if b.extra_h2o => &mut b.h2o,
                    _ => &mut b.all,
                };
                through.solve(&mut left[..m]);
            }
            for (row, i) in members.iter().copied().enumerate() {
                let scale = self.nodes[i].n_mol[s] + TRACE_SHARE * b.start[i].n_mol;
                for j in 0..3 {
                    b.node[i][j].n_mol[s] += left[row][j];
                    off = off.max(left[row][j].abs() / scale);
                }
            }
        }
        for i in members.iter().copied() {
            let rates = [0, 1, 2].map(|j| b.rates[i][j].bed_mol_s);
            for j in 0..3 {
                b.node[i][j].bed_mol = self.nodes[i].bed_mol + h_s * apply(&ADDS[j], &rates);
            }
        }
        if self.physics.wall == WallModel::Isothermal {
            return off;
        }
        for (row, i) in members.iter().copied().enumerate() {
            let gas = [0, 1, 2].map(|j| b.rates[i][j].gas_k_s);
            let wall = [0, 1, 2].map(|j| b.rates[i][j].wall_k_s);
            for j in 0..3 {
                left[row][j] = self.nodes[i].gas_k + h_s * apply(&ADDS[j], &gas) - b.node[i][j].gas_k;
                left[m + row][j] = self.nodes[i].wall_k + h_s * apply(&ADDS[j], &wall) - b.node[i][j].wall_k;
            }
        }
        b.heat.solve(&mut left[..2 * m]);
        for (row, i) in members.iter().copied().enumerate() {
            for j in 0..3 {
                b.node[i][j].gas_k += left[row][j];
                b.node[i][j].wall_k += left[m + row][j];
                off = off.max(left[row][j].abs().max(left[m + row][j].abs()) / self.nodes[i].gas_k);
            }
        }
        off
    }
}
