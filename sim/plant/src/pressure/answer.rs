//! What pressures answer to a mole that passes, by the Jacobian of the balances.

use super::stage::{Stage, Vessels};
use crate::layout::WARM_BLOCK;
use crate::solver::answers::Answers;
use crate::solver::jacobian::Jacobian;
use crate::solver::problem::About;
use crate::steel::MAX_COMPARTMENTS;
use deepstay_core::gas::Species;

const H2O: usize = Species::H2o as usize;
/// The dry species that stands for all: what leaves takes the same share of each.
const ANY_DRY: usize = Species::He as usize;

/// Relative changes of pressure, by compartment, where a mole has passed from one compartment to another or out by a
/// point's time.
pub(crate) fn to_a_mole<V: Vessels>(
    stage: &Stage<V>,
    about: About,
    (from, to): (usize, Option<usize>),
    jacobian: &Jacobian,
) -> [Answers; MAX_COMPARTMENTS] {
    let layout = stage.layout;
    let warm = !stage.vessels.isothermal();
    let source = stage.contents.about(about, from);
    let wet = source.node.n_mol[H2O] / source.gas.n_mol;
    let taken = source.gas.push_j_mol_k * source.node.gas_k / source.gas.c_j_k;
    let given = to.map(|to| {
        let there = stage.contents.about(about, to);
        let brought = source.gas.cp_j_mol_k * (source.node.gas_k - there.node.gas_k)
            + there.gas.push_j_mol_k * there.node.gas_k;
        (layout.row(to), 1.0, brought / there.gas.c_j_k)
    });
    let mut answer = [Answers::default(); MAX_COMPARTMENTS];
    for (passed, mol, gas_k) in [(layout.row(from), -1.0, -taken)].into_iter().chain(given) {
        for (row, i) in layout.members().iter().copied().enumerate() {
            let start = &stage.contents.start[i];
            let moles = jacobian.answers(
                ANY_DRY,
                layout.species(ANY_DRY, passed),
                layout.species(ANY_DRY, row),
            );
            answer[i].add(&moles, mol / start.gas.n_mol);
            let mut warmed = |by: usize, much: f64| {
                let warmth = jacobian.answers(WARM_BLOCK, by, layout.gas(row));
                answer[i].add(&warmth, much / start.node.gas_k);
            };
            warmed(layout.species(H2O, passed), mol * wet);
            if warm {
                warmed(layout.gas(passed), gas_k);
            }
        }
    }
    answer
}
