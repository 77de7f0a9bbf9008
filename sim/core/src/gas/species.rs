//! The six species the balances carry, and amounts of them.

use serde::{Deserialize, Serialize};

/// How many species there are.
pub const SPECIES: usize = 6;

/// A species, in the order of every amount array.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[repr(u8)]
pub enum Species {
    /// Helium.
    He = 0,
    /// Oxygen.
    O2 = 1,
    /// Nitrogen (argon of air counted with it).
    N2 = 2,
    /// Carbon dioxide.
    Co2 = 3,
    /// Water vapour.
    H2o = 4,
    /// A trace contaminant, counted as methane equivalent.
    Trace = 5,
}

impl Species {
    /// All species in array order.
    pub const ALL: [Species; SPECIES] = [
        Species::He,
        Species::O2,
        Species::N2,
        Species::Co2,
        Species::H2o,
        Species::Trace,
    ];

    /// Place in an amount array.
    pub fn index(self) -> usize {
        self as usize
    }
}

/// Amounts or rates or fractions per species, in the order of [`Species`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Amounts(pub [f64; SPECIES]);

impl std::ops::Index<Species> for Amounts {
    type Output = f64;
    fn index(&self, s: Species) -> &f64 {
        &self.0[s.index()]
    }
}

impl std::ops::IndexMut<Species> for Amounts {
    fn index_mut(&mut self, s: Species) -> &mut f64 {
        &mut self.0[s.index()]
    }
}

impl Amounts {
    /// Nothing.
    pub const ZERO: Amounts = Amounts([0.0; SPECIES]);

    /// Sum over species.
    pub fn total(&self) -> f64 {
        self.0.iter().sum()
    }

    /// Each amount times a factor.
    pub fn scaled(&self, by: f64) -> Amounts {
        Amounts(self.0.map(|x| x * by))
    }

    /// Each amount plus the other's.
    pub fn plus(&self, other: &Amounts) -> Amounts {
        let mut sum = *self;
        for (a, b) in sum.0.iter_mut().zip(other.0) {
            *a += b;
        }
        sum
    }

    /// What moves forward and what moves back in amounts that may be of either sign: neither is below nothing.
    pub fn both_ways(&self) -> (Amounts, Amounts) {
        let forward = self.0.map(|x| if x < 0.0 { 0.0 } else { x });
        let back = self.0.map(|x| if x < 0.0 { -x } else { 0.0 });
        (Amounts(forward), Amounts(back))
    }

    /// Mole fractions; zero where there is nothing.
    pub fn fractions(&self) -> Amounts {
        let total = self.total();
        if total > 0.0 {
            self.scaled(1.0 / total)
        } else {
            Amounts::ZERO
        }
    }

    /// A helium-oxygen mixture by its oxygen fraction, as fractions.
    pub fn heliox(o2: f64) -> Amounts {
        Amounts([1.0 - o2, o2, 0.0, 0.0, 0.0, 0.0])
    }

    /// Dry air as fractions: 20.95 % oxygen, 0.04 % carbon dioxide, the rest nitrogen with argon.
    pub fn air() -> Amounts {
        Amounts([0.0, 0.2095, 0.7901, 0.0004, 0.0, 0.0])
    }

    /// Pure oxygen as fractions.
    pub fn oxygen() -> Amounts {
        Amounts([0.0, 1.0, 0.0, 0.0, 0.0, 0.0])
    }
}
