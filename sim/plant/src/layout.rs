//! Where each balance of a cluster's compartments lies in the list that is solved: block by block of dry
//! gas, species by species, then gas, wall and water as they hang together by their warmth, then what the
//! canisters have taken.

use crate::solver::radau::Points;
use crate::state::node::Node;
use crate::steel::MAX_COMPARTMENTS;
use deepstay_core::gas::{SPECIES, Species};

const H2O: usize = Species::H2o as usize;
/// Species that hang together with no other.
pub(crate) const DRY: usize = SPECIES - 1;
/// Balances of a compartment that hang together by its warmth: of its gas, its wall and its water.
pub(crate) const WARM_AND_WET: usize = 3;
/// The block they are in.
pub(crate) const WARM_BLOCK: usize = DRY;

/// Members and edges of a cluster, and the place of their balances.
#[derive(Clone, Debug, Default)]
pub(crate) struct Layout {
    members: Vec<usize>,
    edges: Vec<usize>,
    place: [usize; MAX_COMPARTMENTS],
}

impl Layout {
    /// Takes a cluster.
    pub fn take(&mut self, members: &[usize], edges: &[usize]) {
        self.members.clear();
        self.members.extend_from_slice(members);
        self.edges.clear();
        self.edges.extend_from_slice(edges);
        for (row, i) in members.iter().enumerate() {
            self.place[*i] = row;
        }
    }

    /// Compartments, in the order of their rows.
    #[inline]
    pub fn members(&self) -> &[usize] {
        &self.members
    }

    /// Edges among them along which gas can pass.
    #[inline]
    pub fn edges(&self) -> &[usize] {
        &self.edges
    }

    /// How many compartments.
    #[inline]
    pub fn count(&self) -> usize {
        self.members.len()
    }

    /// Row of a compartment.
    #[inline]
    pub fn row(&self, i: usize) -> usize {
        self.place[i]
    }

    /// Sizes of the blocks.
    pub fn blocks(&self) -> impl Iterator<Item = usize> {
        let m = self.count();
        std::iter::repeat_n(m, DRY).chain([WARM_AND_WET * m])
    }

    /// Block of a dry species.
    #[inline]
    pub fn block_of(species: usize) -> usize {
        species - usize::from(species > H2O)
    }

    /// A species of a row.
    #[inline]
    pub fn species(&self, s: usize, row: usize) -> usize {
        if s == H2O {
            (DRY + 2) * self.count() + row
        } else {
            Layout::block_of(s) * self.count() + row
        }
    }

    /// Gas temperature of a row.
    #[inline]
    pub fn gas(&self, row: usize) -> usize {
        DRY * self.count() + row
    }

    /// Wall temperature of a row.
    #[inline]
    pub fn wall(&self, row: usize) -> usize {
        (DRY + 1) * self.count() + row
    }

    /// What the canister of a row has taken; an integral.
    #[inline]
    pub fn bed(&self, row: usize) -> usize {
        (DRY + WARM_AND_WET) * self.count() + row
    }

    /// Gas of a row at a point: its moles and temperature.
    #[inline]
    pub fn gas_at(&self, states: &[Points], row: usize, point: usize) -> Node {
        Node {
            n_mol: std::array::from_fn(|s| states[self.species(s, row)][point]),
            gas_k: states[self.gas(row)][point],
            ..Node::default()
        }
    }

    /// State of a row at a point; time on the canister is left out.
    #[inline]
    pub fn node(&self, states: &[Points], row: usize, point: usize) -> Node {
        Node {
            n_mol: std::array::from_fn(|s| states[self.species(s, row)][point]),
            gas_k: states[self.gas(row)][point],
            wall_k: states[self.wall(row)][point],
            bed_mol: states[self.bed(row)][point],
            bed_s: 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_balance_has_one_place_and_none_is_left() {
        let mut layout = Layout::default();
        layout.take(&[1, 4, 6], &[]);
        let mut places: Vec<usize> = (0..3)
            .flat_map(|row| {
                (0..SPECIES)
                    .map(|s| layout.species(s, row))
                    .chain([layout.gas(row), layout.wall(row), layout.bed(row)])
                    .collect::<Vec<_>>()
            })
            .collect();
        places.sort_unstable();
        assert_eq!(places, (0..3 * (SPECIES + 3)).collect::<Vec<_>>());
        assert_eq!(layout.blocks().sum::<usize>(), layout.bed(0));
    }
}
