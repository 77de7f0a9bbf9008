//! What moles that pass by a point's time leave over in the balances there.

use super::stage::{Stage, Vessels};
use crate::solver::radau::{A_INVERSE, Points, dot};
use deepstay_core::gas::SPECIES;

/// How much net moles gained at the points change the flow there: the rates whose integrals these are.
pub(crate) fn rates_of(gained: &Points, h_s: f64) -> Points {
    std::array::from_fn(|j| dot(&A_INVERSE[j], gained) / h_s)
}

/// Passes moles by the points' times from one compartment to another, or back where they are below zero.
pub(crate) fn pass<V: Vessels>(
    stage: &Stage<V>,
    up: usize,
    i: usize,
    gained: &Points,
    residual: &mut [Points],
) {
    let layout = stage.layout;
    for (j, mol) in gained.iter().copied().enumerate() {
        let (from, to, mol) = if mol >= 0.0 {
            (i, up, mol)
        } else {
            (up, i, -mol)
        };
        leave(stage, from, mol, j, residual);
        let (source, there) = (
            &stage.contents.points[from][j],
            &stage.contents.points[to][j],
        );
        let row = layout.row(to);
        let share = mol / source.gas.n_mol;
        for s in 0..SPECIES {
            residual[layout.species(s, row)][j] += share * source.node.n_mol[s];
        }
        if !stage.vessels.isothermal() {
            let (from_k, to_k) = (source.node.gas_k, there.node.gas_k);
            residual[layout.gas(row)][j] += mol
                * (source.gas.cp_j_mol_k * (from_k - to_k) + there.gas.push_j_mol_k * to_k)
                / there.gas.c_j_k;
        }
    }
}

/// Lets moles leave a compartment by a point's time.
pub(crate) fn leave<V: Vessels>(
    stage: &Stage<V>,
    i: usize,
    mol: f64,
    j: usize,
    residual: &mut [Points],
) {
    let (layout, row) = (stage.layout, stage.layout.row(i));
    let from = &stage.contents.points[i][j];
    let share = mol / from.gas.n_mol;
    if !stage.vessels.isothermal() {
        residual[layout.gas(row)][j] -=
            mol * from.gas.push_j_mol_k * from.node.gas_k / from.gas.c_j_k;
    }
    for s in 0..SPECIES {
        residual[layout.species(s, row)][j] -= share * from.node.n_mol[s];
    }
}
