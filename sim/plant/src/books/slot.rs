//! The fixed list of flows that can touch a compartment. Node balances are summed from these and
//! the ledger is booked from these, so what the gas loses is what somebody gets.

use deepstay_core::gas::{Amounts, SPECIES, Species};
use serde::{Deserialize, Serialize};

/// One flow of a compartment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[repr(usize)]
pub(crate) enum Slot {
    Leak,
    FaultLeak,
    Relief,
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
    SecondaryGas,
    SecondaryBody,
    SecondaryBreath,
    /// Of what divers breathed from the loop: what did not come back.
    LoopLost,
    /// What bodies kept of it.
    LoopBody,
    /// What came back, before it went into the tank again: a gross flow that leaves the tank as it is.
    LoopReturned,
    /// What came back of what bodies gave off.
    LoopBreath,
    /// What did not come back of that.
    LoopBreathLost,
}

impl Slot {
    /// All of them, in order.
    pub const ALL: [Slot; SLOTS] = [
        Slot::Leak,
        Slot::FaultLeak,
        Slot::Relief,
        Slot::Exhaust,
        Slot::Bleed,
        Slot::RecoveredExhaust,
        Slot::RecoveredBleed,
        Slot::Sample,
        Slot::Supply,
        Slot::Oxygen,
        Slot::Metabolism,
        Slot::Absorption,
        Slot::Coil,
        Slot::WallWater,
        Slot::Evaporation,
        Slot::Spill,
        Slot::TopUp,
        Slot::Outward,
        Slot::BibsGas,
        Slot::BibsBody,
        Slot::BibsBreath,
        Slot::MainGas,
        Slot::MainBody,
        Slot::MainBreath,
        Slot::SecondaryGas,
        Slot::SecondaryBody,
        Slot::SecondaryBreath,
        Slot::LoopLost,
        Slot::LoopBody,
        Slot::LoopReturned,
        Slot::LoopBreath,
        Slot::LoopBreathLost,
    ];

    /// Gas, body and breath of a breathing path, from its gas.
    pub fn of_path(self) -> [Slot; 3] {
        match self {
            Slot::BibsGas => [Slot::BibsGas, Slot::BibsBody, Slot::BibsBreath],
            Slot::MainGas => [Slot::MainGas, Slot::MainBody, Slot::MainBreath],
            _ => [
                Slot::SecondaryGas,
                Slot::SecondaryBody,
                Slot::SecondaryBreath,
            ],
        }
    }
}

impl Slot {
    /// Whether it is gas breathed along a path, or what a body takes of it.
    pub fn is_breathed(self) -> bool {
        matches!(
            self,
            Slot::BibsGas
                | Slot::BibsBody
                | Slot::MainGas
                | Slot::MainBody
                | Slot::SecondaryGas
                | Slot::SecondaryBody
        )
    }
}

/// How many slots there are.
pub(crate) const SLOTS: usize = Slot::LoopBreathLost as usize + 1;

/// Whether a slot's flow enters the compartment's gas (+1), leaves it (-1) or passes it by (0).
pub(crate) const DIRECTION: [f64; SLOTS] = {
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
    d[Slot::LoopLost as usize] = -1.0;
    d[Slot::LoopBody as usize] = -1.0;
    d[Slot::LoopBreath as usize] = 1.0;
    d
};

/// Slots that may draw from a bank or fill one, as bits.
pub(crate) const BANKED: u32 = {
    let lined_up = [
        Slot::RecoveredExhaust,
        Slot::RecoveredBleed,
        Slot::Supply,
        Slot::Oxygen,
        Slot::TopUp,
    ];
    let mut bits = 0u32;
    let mut k = 0;
    while k < lined_up.len() {
        bits |= 1 << lined_up[k] as u32;
        k += 1;
    }
    let mut path = Slot::BibsGas as u32;
    while path < Slot::LoopLost as u32 {
        bits |= 1 << path;
        path += 1;
    }
    bits
};

/// Rate of a slot's flow in a state: a share of the contents and a constant part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Rate {
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
        Rate {
            k: 0.0,
            only: None,
            fixed: mol_s.0,
        }
    }

    /// A share of everything.
    pub fn share(k: f64) -> Self {
        Rate {
            k,
            only: None,
            fixed: [0.0; SPECIES],
        }
    }

    /// Moles per second in a state.
    pub fn mol_s(&self, n_mol: &[f64; SPECIES]) -> [f64; SPECIES] {
        let mut out = self.fixed;
        match self.only {
            None => {
                for (o, n) in out.iter_mut().zip(n_mol) {
                    *o += self.k * n;
                }
            }
            Some(s) => out[s.index()] += self.k * n_mol[s.index()],
        }
        out
    }
}
