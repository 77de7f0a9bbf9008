//! Gas and wall of a compartment at one second, and what its gas is like there.

use deepstay_core::gas::{self, Amounts, SPECIES, Species};
use serde::{Deserialize, Serialize};

/// Gas and wall of a compartment at one second.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Node {
    /// Moles by species.
    pub n_mol: [f64; SPECIES],
    /// Gas temperature, K.
    pub gas_k: f64,
    /// Wall temperature, K.
    pub wall_k: f64,
    /// Carbon dioxide that the canister in use has taken, mol.
    pub bed_mol: f64,
    /// Time that the fan has blown through the canister in use, s.
    pub bed_s: f64,
}

impl Node {
    /// Moles of all species.
    #[inline]
    pub fn total_mol(&self) -> f64 {
        self.n_mol.iter().sum()
    }

    /// Whether its gas may hold more water than it can at a pressure; where not, it does not.
    pub fn may_be_damp(&self, p_pa: f64) -> bool {
        let water_pa = self.n_mol[Species::H2o.index()] / self.total_mol() * p_pa;
        water_pa > gas::water::saturation_at_least_pa(self.gas_k)
    }

    /// Relative humidity at a pressure, 0 to 1 (and above, before it condenses).
    pub fn humidity(&self, p_pa: f64) -> f64 {
        let total = self.total_mol();
        self.n_mol[Species::H2o.index()] / total * p_pa / gas::water::saturation_pa(self.gas_k)
    }
}

/// What a compartment's gas is like in a state.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Properties {
    /// Pressure, Pa.
    pub p_pa: f64,
    /// Moles.
    pub n_mol: f64,
    /// Heat capacity at constant volume, J/K.
    pub c_j_k: f64,
    /// Molar heat capacity at constant pressure, J/(mol K).
    pub cp_j_mol_k: f64,
    /// Work of a mole that comes or goes, (h - u) over temperature: Z R, J/(mol K).
    pub push_j_mol_k: f64,
}

impl Default for Properties {
    fn default() -> Self {
        Properties {
            p_pa: 0.0,
            n_mol: 0.0,
            c_j_k: 1.0,
            cp_j_mol_k: 0.0,
            push_j_mol_k: 0.0,
        }
    }
}

/// A state, and what its gas is like.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Contents {
    /// The state.
    pub node: Node,
    /// What its gas is like.
    pub gas: Properties,
}

impl Contents {
    /// A state in a volume at its pressure; gives the mole fractions too.
    #[inline]
    pub fn of(node: Node, volume_m3: f64, p_pa: f64) -> (Contents, Amounts) {
        let n = Amounts(node.n_mol);
        let total = n.total();
        let x = n.scaled(1.0 / total);
        let gas = Properties {
            p_pa,
            n_mol: total,
            cp_j_mol_k: gas::state::cp_j_mol_k(&x),
            c_j_k: gas::state::cv_j_k(&n, node.gas_k),
            push_j_mol_k: p_pa * volume_m3 / (total * node.gas_k),
        };
        (Contents { node, gas }, x)
    }
}

/// How fast a compartment's state changes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Rates {
    /// Moles by species, mol/s.
    pub n_mol_s: [f64; SPECIES],
    /// Gas temperature, K/s.
    pub gas_k_s: f64,
    /// Wall temperature, K/s.
    pub wall_k_s: f64,
    /// What the canister takes, mol/s.
    pub bed_mol_s: f64,
}

impl Rates {
    /// Where nothing changes its temperature.
    pub fn keep_temperature(&mut self) {
        (self.gas_k_s, self.wall_k_s) = (0.0, 0.0);
    }

    /// Adds what something else does to moles and temperatures.
    #[inline]
    pub fn add(&mut self, rates: &Rates) {
        for (sum, part) in self.n_mol_s.iter_mut().zip(rates.n_mol_s) {
            *sum += part;
        }
        self.gas_k_s += rates.gas_k_s;
        self.wall_k_s += rates.wall_k_s;
    }
}

/// Flow at the three collocation points of an interval, mol/s by species.
pub(crate) type Flow = [[f64; SPECIES]; 3];
