//! The invariant of amounts: nothing that lies anywhere is ever below nothing. It is looked at where no state can
//! pass it by, as anchors move and their gas goes to the books; and a step that would leave less than nothing is taken shorter.

use crate::state::banks::BankStock;
use crate::state::node::Node;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// Share of all that lies in a place within which an amount is nothing: what the steps' errors are held to.
const NOTHING: f64 = 1e-7;
/// The same for a step, which is taken shorter until it keeps to it.
const NOTHING_OF_A_STEP: f64 = 1e-9;
/// Share of all that a vessel holds that its sum in double precision does not show.
const ROUNDING: f64 = 1e-16;

/// An amount below nothing, or nothing where that is less than what a vessel's contents can be told to: what is left
/// when all of a species has gone.
#[cold]
pub(crate) fn but_for_rounding(mol: f64, vessel: &Node) -> f64 {
    if -mol <= ROUNDING * vessel.total_mol() {
        0.0
    } else {
        mol
    }
}

/// Whether a step would leave less than nothing of something in a compartment.
pub(crate) fn is_below(node: &Node) -> bool {
    let least = -NOTHING_OF_A_STEP * node.total_mol();
    node.n_mol.iter().any(|mol| *mol < least)
}

/// An amount below nothing: the program, not the job, has gone wrong.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BelowZero {
    /// Second at which it was found.
    pub at_s: i64,
    /// Where.
    pub place: Place,
    /// Of what.
    pub species: Species,
    /// How much, mol.
    pub mol: f64,
}

/// Finds an amount below nothing in a compartment or in its canister.
pub(crate) fn in_node(i: usize, node: &Node, at_s: i64) -> Option<BelowZero> {
    let c = CompartmentId(i as u8);
    let found = in_place(Place::Compartment(c), &Amounts(node.n_mol), at_s);
    found.or_else(|| {
        (node.bed_mol < -NOTHING).then_some(BelowZero {
            at_s,
            place: Place::Absorbent(c),
            species: Species::Co2,
            mol: node.bed_mol,
        })
    })
}

/// Finds an amount below nothing in a bank.
pub(crate) fn in_banks(stock: &BankStock, at_s: i64) -> Option<BelowZero> {
    (0..stock.count() as u8).find_map(|b| {
        let bank = BankId(b);
        in_place(Place::Bank(bank), &stock.n_mol(bank), at_s)
    })
}

fn in_place(place: Place, n_mol: &Amounts, at_s: i64) -> Option<BelowZero> {
    let least = -NOTHING * n_mol.0.iter().map(|n| n.abs()).sum::<f64>();
    let found = Species::ALL
        .into_iter()
        .find(|s| n_mol[*s] < least || n_mol[*s].is_nan());
    found.map(|species| BelowZero {
        at_s,
        place,
        species,
        mol: n_mol[species],
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of three million moles half a one below nothing is found; a hundredth, which is less than a step's error, is not.
    #[test]
    fn what_is_below_nothing_is_found_with_its_place_and_species() {
        let mut node = Node {
            n_mol: [1e6, 2e6, 0.0, -1e-2, 0.0, 0.0],
            ..Node::default()
        };
        assert_eq!(in_node(3, &node, 60), None);
        assert!(is_below(&node), "a step would be taken shorter");
        node.n_mol[Species::Co2.index()] = -0.5;
        let found = in_node(3, &node, 60).expect("half a mole below nothing");
        assert_eq!(found.place, Place::Compartment(CompartmentId(3)));
        assert_eq!(
            (found.species, found.mol, found.at_s),
            (Species::Co2, -0.5, 60)
        );
        node.n_mol[Species::Co2.index()] = f64::NAN;
        assert!(in_node(3, &node, 60).is_some());
        node.n_mol[Species::Co2.index()] = 0.0;
        node.bed_mol = -1e-3;
        let found = in_node(3, &node, 60).expect("a canister that owes carbon dioxide");
        assert_eq!(found.place, Place::Absorbent(CompartmentId(3)));
    }
}
