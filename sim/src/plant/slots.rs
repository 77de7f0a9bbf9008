//! The fixed list of flows that can touch a compartment. Node balances are summed from these and
//! the ledger is booked from these, so what the gas loses is what somebody gets.

use crate::gas::{Amounts, SPECIES, Species};
use crate::units::*;
use serde::{Deserialize, Serialize};

/// One flow of a compartment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[repr(usize)]
pub(super) enum Slot {
    Leak,
    FaultLeak,
    Exhaust,
    Bleed,
    RecoveredExhaust,
    RecoveredBleed,
    Sample,
    Supply,
    Oxygen,
    Metabolism,
    Absorption,
    Coil,
    WallWater,
    Evaporation,
    Spill,
    TopUp,
    Outward,
    BibsGas,
    BibsBody,
    BibsBreath,
    MainGas,
    MainBody,
    MainBreath,
    MainReclaimed,
    SecondaryGas,
    SecondaryBody,
    SecondaryBreath,
}

/// How many slots there are.
pub(super) const SLOTS: usize = Slot::SecondaryBreath as usize + 1;

/// Whether a slot's flow enters the compartment's gas (+1), leaves it (-1) or passes it by (0).
pub(super) const DIRECTION: [f64; SLOTS] = {
    let mut d = [-1.0; SLOTS];
    d[Slot::Supply as usize] = 1.0;
    d[Slot::Oxygen as usize] = 1.0;
    d[Slot::Evaporation as usize] = 1.0;
    d[Slot::TopUp as usize] = 1.0;
    let mut i = Slot::BibsGas as usize;
    while i < SLOTS {
        d[i] = 0.0;
        i += 1;
    }
    d
};

/// Rate of a slot's flow over a frozen interval: a share of the contents and a constant part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Rate {
    /// Share of the contents per second, 1/s.
    pub k: f64,
    /// The one species the share applies to; none means all.
    pub only: Option<Species>,
    /// Constant part, mol/s by species.
    pub fixed: [f64; SPECIES],
}

impl Rate {
    /// A constant flow.
    pub fn fixed(mol_s: Amounts) -> Self {
        Rate { k: 0.0, only: None, fixed: mol_s.0 }
    }

    /// A share of everything.
    pub fn share(k: f64) -> Self {
        Rate { k, only: None, fixed: [0.0; SPECIES] }
    }

    /// Moles moved over an interval whose contents have this time integral, mol s.
    pub fn moved(&self, integral: &[f64; SPECIES], dt: f64) -> [f64; SPECIES] {
        let mut out = self.fixed.map(|r| r * dt);
        match self.only {
            None => {
                for (o, i) in out.iter_mut().zip(integral) {
                    *o += self.k * i;
                }
            }
            Some(s) => out[s.index()] += self.k * integral[s.index()],
        }
        out
    }
}

/// Running total of a slot, and how much of it has been given to the record.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Account {
    /// Moved since the start, mol.
    pub total: [f64; SPECIES],
    /// Given to the record so far, mol.
    pub given: [f64; SPECIES],
}

/// Places and purpose that a slot is booked under at present.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Booking {
    pub from: Place,
    pub to: Place,
    pub purpose: Purpose,
}
