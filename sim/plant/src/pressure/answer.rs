//! What pressures answer to a mole that passes, by the Jacobian of the balances.

use super::stage::{Stage, Vessels};
use crate::layout::WARM_BLOCK;
use crate::solver::jacobian::Jacobian;
use crate::solver::problem::About;
use crate::solver::radau::Points;
use crate::steel::MAX_COMPARTMENTS;
use deepstay_core::gas::Species;

const H2O: usize = Species::H2o as usize;
/// The dry species that stands for all: what leaves takes the same share of each.
const ANY_DRY: usize = Species::He as usize;

/// Relative changes of pressure, by compartment and point, where a mole has passed from one compartment to
/// another or out by a point's time.
pub(crate) fn to_a_mole<V: Vessels>(
    stage: &Stage<V>,
    about: About,
    (from, to): (usize, Option<usize>),
    j: usize,
    jacobian: &mut Jacobian,
    room: &mut Vec<Points>,
) -> [Points; MAX_COMPARTMENTS] {
    let layout = stage.layout;
    room.resize(jacobian.balances(), [0.0; 3]);
    jacobian.part(ANY_DRY, room).fill([0.0; 3]);
    jacobian.part(WARM_BLOCK, room).fill([0.0; 3]);
    let warm = !stage.vessels.isothermal();
    let source = stage.contents.about(about, from);
    let row = layout.row(from);
    let wet = source.node.n_mol[H2O] / source.gas.n_mol;
    room[layout.species(ANY_DRY, row)][j] = -1.0;
    room[layout.species(H2O, row)][j] = -wet;
    if warm {
        room[layout.gas(row)][j] = -source.gas.push_j_mol_k * source.node.gas_k / source.gas.c_j_k;
    }
    if let Some(to) = to {
        let there = stage.contents.about(about, to);
        let row = layout.row(to);
        room[layout.species(ANY_DRY, row)][j] = 1.0;
        room[layout.species(H2O, row)][j] = wet;
        if warm {
            let brought = source.gas.cp_j_mol_k * (source.node.gas_k - there.node.gas_k)
                + there.gas.push_j_mol_k * there.node.gas_k;
            room[layout.gas(row)][j] = brought / there.gas.c_j_k;
        }
    }
    jacobian.solve(ANY_DRY, room);
    jacobian.solve(WARM_BLOCK, room);
    let mut answer = [[0.0; 3]; MAX_COMPARTMENTS];
    for (row, i) in layout.members().iter().copied().enumerate() {
        let start = &stage.contents.start[i];
        let (moles, warmth) = (&room[layout.species(ANY_DRY, row)], &room[layout.gas(row)]);
        answer[i] =
            std::array::from_fn(|j| moles[j] / start.gas.n_mol + warmth[j] / start.node.gas_k);
    }
    answer
}
