//! What people put on the gas of a compartment and on a breathing path.

use serde::{Deserialize, Serialize};

/// The load that people put on a compartment's gas.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Load {
    /// Oxygen taken, mol/s.
    pub o2_mol_s: f64,
    /// Carbon dioxide given, mol/s.
    pub co2_mol_s: f64,
    /// Water vapour given, mol/s.
    pub h2o_mol_s: f64,
    /// Sensible heat given, W.
    pub heat_w: f64,
}

impl Load {
    /// A share of it.
    pub fn scaled(self, by: f64) -> Load {
        Load {
            o2_mol_s: self.o2_mol_s * by,
            co2_mol_s: self.co2_mol_s * by,
            h2o_mol_s: self.h2o_mol_s * by,
            heat_w: self.heat_w * by,
        }
    }

    /// Both loads together.
    pub fn plus(self, other: Load) -> Load {
        Load {
            o2_mol_s: self.o2_mol_s + other.o2_mol_s,
            co2_mol_s: self.co2_mol_s + other.co2_mol_s,
            h2o_mol_s: self.h2o_mol_s + other.h2o_mol_s,
            heat_w: self.heat_w + other.heat_w,
        }
    }
}

/// The load on one breathing path (masks of a compartment, divers' main or secondary gas).
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct PathLoad {
    /// Gas breathed, m3/s at the pressure of the diver.
    pub ventilation_m3_s: f64,
    /// What the bodies take and give of it.
    pub load: Load,
}
