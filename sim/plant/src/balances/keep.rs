//! What a step leaves behind: rates and flows at its points, for the trajectories.

use super::incoming::comes_in;
use super::room::Room;
use crate::books::slot::Slot;
use crate::model::Model;
use crate::pressure::exchange::exchange;
use crate::pressure::outside::Outside;
use crate::state::node::Contents;
use crate::steel::edge::Edge;
use crate::trajectory::interpolant::EdgeInterpolant;
use crate::trajectory::trajectories::Trajectories;

/// Stores a step's rates and flows as those of the cluster's interval.
pub(crate) fn keep(
    model: &Model,
    room: &Room,
    c: usize,
    h_s: f64,
    trajectories: &mut Trajectories,
) {
    trajectories.cluster_mut(c).went_s = Some(h_s);
    let constraint = &room.constraint;
    for i in room.layout.members().iter().copied() {
        let interpolant = trajectories.interpolant_mut(i);
        interpolant.take_rates(
            room.contents.start[i].gas.p_pa,
            &room.rates.total[i],
            *constraint.out(i),
        );
        for j in 0..3 {
            let n_mol = &room.contents.points[i][j].node.n_mol;
            interpolant.take_flows(j, &room.flows.points[i][j], n_mol);
        }
    }
    for tree in constraint.trees() {
        keep_out(model, room, tree.root(), trajectories);
    }
    for x in room.layout.edges().iter().copied() {
        let edge = EdgeInterpolant {
            flow: room.edges.total[x],
            constraint: *constraint.along(x),
        };
        trajectories.set_edge(x, edge);
    }
}

/// Stores what kept a compartment's pressure from outside as flows.
fn keep_out(model: &Model, room: &Room, i: usize, trajectories: &mut Trajectories) {
    let outside = room.constraint.outside(i);
    if outside == Outside::Shut {
        return;
    }
    for j in 0..3 {
        let out = room.constraint.out(i)[j];
        let (slot, moving) = if out >= 0.0 {
            let node = &room.contents.points[i][j].node;
            let share = out / node.total_mol();
            (Slot::Spill, node.n_mol.map(|n| share * n))
        } else {
            let p_pa = room.contents.start[i].gas.p_pa;
            let (mix, _) = comes_in(model, i, outside, p_pa, |bank| room.banks.at_point(j, bank));
            let (slot, sign) = if outside == Outside::Sea {
                (Slot::TopUp, 1.0)
            } else {
                (Slot::Spill, -1.0)
            };
            (slot, mix.scaled(-sign * out).0)
        };
        *trajectories.interpolant_mut(i).at(slot, j) = moving;
    }
}

/// Takes the flows at the start for those at the points: for a moment in which no others are found.
pub(crate) fn go_as_at_start(model: &Model, room: &mut Room) {
    for i in room.layout.members().iter().copied() {
        let mut rates = room.rates.start[i];
        if model.isothermal() {
            rates.keep_temperature();
        }
        room.rates.total[i] = [rates; 3];
        for j in 0..3 {
            room.flows.points[i][j] = room.flows.start[i].clone();
            room.contents.points[i][j] = Contents {
                node: room.nodes[i],
                ..room.contents.start[i]
            };
        }
    }
    room.constraint.drop_flows(&room.layout);
    for x in room.layout.edges().iter().copied() {
        let Edge { a, b, .. } = model.edges[x];
        let (of_a, of_b) = (&room.contents.start[a], &room.contents.start[b]);
        let (_, _, flow) = exchange(room.edges.start[x], of_a, of_b);
        room.edges.total[x] = [flow; 3];
    }
}
