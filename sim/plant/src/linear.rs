//! The linear part of a step's balances (exchange, ventilation, gas against wall), and how it puts the
//! states at the points right by what the rates leave over.

use super::bench::Bench;
use super::core::{Edge, Plant};
use super::frozen::{Frozen, Rates};
use super::radau::{ADDS, Coupled, apply, goes_on, relax};
use super::state::{Node, WallModel};
use crate::{MAX_COMPARTMENTS, MAX_EDGES};
use deepstay_core::gas::{SPECIES, Species};

/// Share of a compartment's moles added to what a species' errors are measured by: a trace is not followed
/// finer than this share of it.
pub(super) const TRACE_SHARE: f64 = 1e-2;
/// The heat a wall takes by natural convection grows with the difference to the power 5/4 to 4/3.
const FILM_SLOPE: f64 = 1.25;

/// Balances of a compartment that hang together by its warmth: of its gas, its wall and its water.
pub(super) const WARM_AND_WET: usize = 3;

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
            shares[x] = (
                ab + net.max(0.0) / at(a).n_mol,
                ba + (-net).max(0.0) / at(to).n_mol,
            );
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
        }
        b.extra_co2 = members.iter().any(|i| at(*i).k_co2 != 0.0);
        let first = at(members[0]);
        let one = first.k_all + out_share(members[0]);
        b.alone = [one, one + first.k_co2];
        let isothermal = self.physics.wall == WallModel::Isothermal;
        let slope = if self.physics.wall == WallModel::Natural {
            FILM_SLOPE
        } else {
            1.0
        };
        let w = WARM_AND_WET * m;
        b.heat.set(w, |z| {
            for (row, i) in members.iter().enumerate() {
                let f = at(*i);
                let (gas, wall, wet) = (row, m + row, 2 * m + row);
                z[wet * w + wet] = h_s * (f.k_all + f.k_h2o + out_share(*i) + f.wet.leaves_s);
                if isothermal {
                    continue;
                }
                z[wet * w + gas] = h_s * f.wet.leaves_mol_s_k;
                z[wet * w + wall] = -h_s * f.wet.stays_mol_s_k;
                let wall_j_k = self.steel.compartments[*i].wall_j_k;
                let wall_w_k = slope * f.wall_w_k;
                let net =
                    f.source.iter().sum::<f64>() - f.k_all * f.n_mol - out_share(*i) * f.n_mol;
                z[gas * w + gas] =
                    h_s * (f.heat_w_k + f.wet.heat_w_k + wall_w_k - net * f.push_j_mol_k) / f.c_j_k;
                z[gas * w + wall] = -h_s * wall_w_k / f.c_j_k;
                z[gas * w + wet] = -h_s * f.wet.heat_w_mol / f.c_j_k;
                z[wall * w + gas] = -h_s * wall_w_k / wall_j_k;
                z[wall * w + wall] = h_s * (wall_w_k + f.out_w_k + f.wet.wall_w_k) / wall_j_k;
                z[wall * w + wet] = -h_s * f.wet.wall_w_mol / wall_j_k;
            }
            for x in cluster.edges.iter().copied() {
                let Edge { a, b: to, .. } = self.edges[x];
                for (from, to, k) in [(a, to, shares[x].0), (to, a, shares[x].1)] {
                    let (gas_from, gas_to) = (place[from], place[to]);
                    let (wet_from, wet_to) = (2 * m + place[from], 2 * m + place[to]);
                    z[wet_from * w + wet_from] += h_s * k;
                    z[wet_to * w + wet_from] -= h_s * k;
                    if isothermal {
                        continue;
                    }
                    let (ff, ft) = (at(from), at(to));
                    let flow = h_s * k * ff.n_mol;
                    let by = flow * ff.cp_j_mol_k / ft.c_j_k;
                    z[gas_to * w + gas_from] -= by;
                    z[gas_to * w + gas_to] += by - flow * ft.push_j_mol_k / ft.c_j_k;
                    z[gas_from * w + gas_from] += flow * ff.push_j_mol_k / ff.c_j_k;
                }
            }
        });
        b.h_s = h_s;
        self.set_levels(c, point, b);
        self.set_valves(c, point, b);
    }

    /// The states at the points if things go on as they went; else, if the linear part were all there is.
    pub(super) fn first_guess(&self, c: usize, h_s: f64, b: &mut Bench) {
        let cluster = &self.clusters[c];
        let rows = cluster.went_s.map(|went_s| goes_on(h_s / went_s));
        for x in cluster.edges.iter().copied() {
            b.level[x] = rows.map_or([0.0; 3], |rows| {
                rows.map(|row| apply(&row, &self.edge_level[x]))
            });
        }
        for i in cluster.members.iter().copied() {
            b.node[i] = [self.nodes[i]; 3];
            // Gas that goes on coming in is found anew: it may no longer be able to.
            b.out[i] = rows.map_or([0.0; 3], |rows| {
                rows.map(|row| apply(&row, &self.level_out[i]).max(0.0))
            });
            b.rates[i] = rows.map_or([b.start_rates[i]; 3], |rows| {
                self.courses[i].rates_at(&rows)
            });
        }
        match rows {
            Some(_) => self.follow(c, h_s, b),
            None => {
                self.put_right(c, h_s, b);
            }
        }
    }

    /// Takes the states at the points that the rates lead to.
    fn follow(&self, c: usize, h_s: f64, b: &mut Bench) {
        for i in self.clusters[c].members.iter().copied() {
            let (now, rates) = (&self.nodes[i], &b.rates[i]);
            let after = |j: usize, of: &dyn Fn(&Rates) -> f64| {
                h_s * apply(&ADDS[j], &[of(&rates[0]), of(&rates[1]), of(&rates[2])])
            };
            for j in 0..3 {
                b.node[i][j] = Node {
                    n_mol: std::array::from_fn(|s| now.n_mol[s] + after(j, &|r| r.n_mol_s[s])),
                    gas_k: now.gas_k + after(j, &|r| r.gas_k_s),
                    wall_k: now.wall_k + after(j, &|r| r.wall_k_s),
                    bed_mol: now.bed_mol + after(j, &|r| r.bed_mol_s),
                    bed_s: now.bed_s,
                };
            }
        }
    }

    /// Puts the states at the points right by what the rates leave over; gives the greatest relative change.
    pub(super) fn put_right(&self, c: usize, h_s: f64, b: &mut Bench) -> f64 {
        let members = &self.clusters[c].members;
        let m = members.len();
        for (row, i) in members.iter().copied().enumerate() {
            let (now, rates) = (&self.nodes[i], &b.rates[i]);
            for s in 0..SPECIES {
                let by = rates.map(|rate| rate.n_mol_s[s]);
                *b.left.species(s, row, m) = std::array::from_fn(|j| {
                    now.n_mol[s] + h_s * apply(&ADDS[j], &by) - b.node[i][j].n_mol[s]
                });
            }
            let (gas, wall) = (
                rates.map(|rate| rate.gas_k_s),
                rates.map(|rate| rate.wall_k_s),
            );
            b.left.warm[row] = std::array::from_fn(|j| {
                now.gas_k + h_s * apply(&ADDS[j], &gas) - b.node[i][j].gas_k
            });
            b.left.warm[m + row] = std::array::from_fn(|j| {
                now.wall_k + h_s * apply(&ADDS[j], &wall) - b.node[i][j].wall_k
            });
            let bed = rates.map(|rate| rate.bed_mol_s);
            for j in 0..3 {
                b.node[i][j].bed_mol = now.bed_mol + h_s * apply(&ADDS[j], &bed);
            }
        }
        self.respond(c, b)
    }

    /// Changes the states at the points as the linear part answers to what is left over; gives the greatest
    /// relative change.
    pub(super) fn respond(&self, c: usize, b: &mut Bench) -> f64 {
        let members = &self.clusters[c].members;
        let m = members.len();
        for s in (0..SPECIES).filter(|s| *s != H2O) {
            let left = &mut b.left.n_mol[s][..m];
            if left.iter().all(|l| *l == [0.0; 3]) {
                continue;
            }
            if m == 1 {
                left[0] = relax(b.h_s * b.alone[usize::from(s == CO2)], &left[0]);
            } else if s == CO2 && b.extra_co2 {
                b.co2.solve(left);
            } else {
                b.all.solve(left);
            }
        }
        b.heat.solve(&mut b.left.warm[..WARM_AND_WET * m]);
        let mut off = 0.0f64;
        for (row, i) in members.iter().copied().enumerate() {
            let now = &self.nodes[i];
            for s in 0..SPECIES {
                let change = *b.left.species(s, row, m);
                let scale = now.n_mol[s] + TRACE_SHARE * b.start[i].n_mol;
                for j in 0..3 {
                    b.node[i][j].n_mol[s] += change[j];
                    off = off.max(change[j].abs() / scale);
                }
            }
            for j in 0..3 {
                let (gas, wall) = (b.left.warm[row][j], b.left.warm[m + row][j]);
                b.node[i][j].gas_k += gas;
                b.node[i][j].wall_k += wall;
                off = off.max(gas.abs().max(wall.abs()) / now.gas_k);
            }
        }
        off
    }
}
