//! How a cluster's balances answer a change: exchange, ventilation, gas against wall, water.

use super::room::Room;
use crate::flows::flow::Flows;
use crate::layout::{Layout, WARM_AND_WET, WARM_BLOCK};
use crate::model::Model;
use crate::solver::jacobian::Jacobian;
use crate::solver::problem::About;
use crate::state::physics::WallModel;
use crate::steel::edge::Edge;
use crate::steel::{MAX_COMPARTMENTS, MAX_EDGES};
use deepstay_core::gas::Species;

/// The heat a wall takes by natural convection grows with the difference to the power 5/4 to 4/3.
const FILM_SLOPE: f64 = 1.25;

/// Block of carbon dioxide, which alone leaves by the absorbent.
const CO2_BLOCK: usize = Species::Co2 as usize;
/// The matrix of all other dry species.
const DRY_MATRIX: usize = 0;

/// Shares that leave by a step's state, 1/s.
struct Shares {
    /// To the outside to keep one pressure, by compartment.
    out: [f64; MAX_COMPARTMENTS],
    /// From a to b and from b to a, by edge.
    edge: [(f64, f64); MAX_EDGES],
}

/// Finds the Jacobian for a step of a length, at its start or as things are at a point.
pub(crate) fn set(model: &Model, room: &Room, h_s: f64, about: About, jacobian: &mut Jacobian) {
    let shares = shares(model, room, about);
    let flows = |i: usize| -> &Flows {
        match about {
            About::Start => &room.flows.start[i],
            About::Point(j) => &room.flows.points[i][j],
        }
    };
    set_dry(model, &room.layout, h_s, &shares, &flows, jacobian);
    set_warm(model, room, h_s, about, &shares, &flows, jacobian);
}

fn shares(model: &Model, room: &Room, about: About) -> Shares {
    let (mut out, mut edge) = ([0.0; MAX_COMPARTMENTS], [(0.0, 0.0); MAX_EDGES]);
    let contents = |i: usize| room.contents.about(about, i).gas.n_mol;
    for i in room.layout.members().iter().copied() {
        let flow = match about {
            About::Start => 0.0,
            About::Point(j) => room.constraint.out(i)[j].max(0.0),
        };
        out[i] = flow / contents(i);
    }
    for x in room.layout.edges().iter().copied() {
        let Edge { a, b, .. } = model.edges[x];
        let (net, (ab, ba)) = match about {
            About::Start => (0.0, room.edges.start[x]),
            About::Point(j) => (room.constraint.along(x)[j], room.edges.points[x][j]),
        };
        edge[x] = (
            ab + net.max(0.0) / contents(a),
            ba + (-net).max(0.0) / contents(b),
        );
    }
    Shares { out, edge }
}

/// Dry gas: one matrix for all species, and one for carbon dioxide where absorbent takes it.
fn set_dry<'a>(
    model: &Model,
    layout: &Layout,
    h_s: f64,
    shares: &Shares,
    flows: &impl Fn(usize) -> &'a Flows,
    jacobian: &mut Jacobian,
) {
    let m = layout.count();
    let fill = |extra: fn(&Flows) -> f64, z: &mut [f64]| {
        for (row, i) in layout.members().iter().enumerate() {
            let f = flows(*i);
            z[row * m + row] += h_s * (f.leaving.all_s + shares.out[*i] + extra(f));
        }
        for x in layout.edges().iter().copied() {
            let (ra, rb) = (layout.row(model.edges[x].a), layout.row(model.edges[x].b));
            let (ab, ba) = (h_s * shares.edge[x].0, h_s * shares.edge[x].1);
            z[ra * m + ra] += ab;
            z[rb * m + ra] -= ab;
            z[rb * m + rb] += ba;
            z[ra * m + rb] -= ba;
        }
    };
    jacobian.set(DRY_MATRIX, m, |z| fill(|_| 0.0, z));
    let absorbs = layout
        .members()
        .iter()
        .any(|i| flows(*i).leaving.co2_s != 0.0);
    if absorbs {
        jacobian.set(CO2_BLOCK, m, |z| fill(|f| f.leaving.co2_s, z));
    }
    for block in 0..WARM_BLOCK {
        let own = block == CO2_BLOCK && absorbs;
        jacobian.give(block, if own { CO2_BLOCK } else { DRY_MATRIX });
    }
}

/// Gas, wall and water, as they hang together by their warmth.
fn set_warm<'a>(
    model: &Model,
    room: &Room,
    h_s: f64,
    about: About,
    shares: &Shares,
    flows: &impl Fn(usize) -> &'a Flows,
    jacobian: &mut Jacobian,
) {
    let layout = &room.layout;
    let m = layout.count();
    let w = WARM_AND_WET * m;
    let isothermal = model.isothermal();
    let slope = if model.physics.wall == WallModel::Natural {
        FILM_SLOPE
    } else {
        1.0
    };
    let gas_of = |i: usize| &room.contents.about(about, i).gas;
    jacobian.set(WARM_BLOCK, w, |z| {
        for (row, i) in layout.members().iter().copied().enumerate() {
            let (f, props) = (flows(i), gas_of(i));
            let (gas, wall, wet) = (row, m + row, 2 * m + row);
            let out_share = shares.out[i];
            z[wet * w + wet] =
                h_s * (f.leaving.all_s + f.leaving.h2o_s + out_share + f.wet.leaves_s);
            if isothermal {
                continue;
            }
            z[wet * w + gas] = h_s * f.wet.leaves_mol_s_k;
            z[wet * w + wall] = -h_s * f.wet.stays_mol_s_k;
            let wall_j_k = model.steel.compartments[i].wall_j_k;
            let wall_w_k = slope * f.wall.w_k;
            let net = f.source.iter().sum::<f64>()
                - f.leaving.all_s * props.n_mol
                - out_share * props.n_mol;
            z[gas * w + gas] = h_s
                * (f.heat.w_k + f.wet.heat_w_k + wall_w_k - net * props.push_j_mol_k)
                / props.c_j_k;
            z[gas * w + wall] = -h_s * wall_w_k / props.c_j_k;
            z[gas * w + wet] = -h_s * f.wet.heat_w_mol / props.c_j_k;
            z[wall * w + gas] = -h_s * wall_w_k / wall_j_k;
            z[wall * w + wall] = h_s * (wall_w_k + f.wall.out_w_k + f.wet.wall_w_k) / wall_j_k;
            z[wall * w + wet] = -h_s * f.wet.wall_w_mol / wall_j_k;
        }
        for x in layout.edges().iter().copied() {
            let Edge { a, b, .. } = model.edges[x];
            for (from, to, k) in [(a, b, shares.edge[x].0), (b, a, shares.edge[x].1)] {
                let (gas_from, gas_to) = (layout.row(from), layout.row(to));
                let (wet_from, wet_to) = (2 * m + gas_from, 2 * m + gas_to);
                z[wet_from * w + wet_from] += h_s * k;
                z[wet_to * w + wet_from] -= h_s * k;
                if isothermal {
                    continue;
                }
                let (of_from, of_to) = (gas_of(from), gas_of(to));
                let flow = h_s * k * of_from.n_mol;
                let by = flow * of_from.cp_j_mol_k / of_to.c_j_k;
                z[gas_to * w + gas_from] -= by;
                z[gas_to * w + gas_to] += by - flow * of_to.push_j_mol_k / of_to.c_j_k;
                z[gas_from * w + gas_from] += flow * of_from.push_j_mol_k / of_from.c_j_k;
            }
        }
    });
}
