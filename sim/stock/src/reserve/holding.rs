//! Kinds of stock that rules ask for, which banks count towards each, and what they are kept against.

use deepstay_plant::Duty;
use std::fmt;

/// Oxygen above which a gas counts as oxygen, fraction (house rule).
pub(super) const NEARLY_OXYGEN: f64 = 0.9;

/// A kind of stock. No bank counts towards two of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Holding {
    /// Divers' gas on deck.
    DiverGas,
    /// Gas on the bell.
    BellGas,
    /// Oxygen on the bell.
    BellOxygen,
    /// Absorbent in the bell.
    BellAbsorbent,
    /// Gas that presses chambers: it mixes with what is there, and need not be breathed as it is.
    PressingMix,
    /// Gas for masks in the chambers.
    MaskGas,
    /// Oxygen for the chambers.
    Oxygen,
    /// Absorbent in the chambers.
    ChamberAbsorbent,
    /// Air of the escape sets.
    EscapeAir,
}

impl Holding {
    /// Every kind, those of dive control first.
    pub const ALL: [Holding; 9] = [
        Holding::DiverGas,
        Holding::BellGas,
        Holding::BellOxygen,
        Holding::BellAbsorbent,
        Holding::PressingMix,
        Holding::MaskGas,
        Holding::Oxygen,
        Holding::ChamberAbsorbent,
        Holding::EscapeAir,
    ];

    /// Whether it is a gas, counted in mol; absorbent is counted in kg.
    pub fn is_gas(self) -> bool {
        !matches!(self, Holding::BellAbsorbent | Holding::ChamberAbsorbent)
    }

    /// Duties on the labels of the banks that count.
    pub fn duties(self) -> &'static [Duty] {
        match self {
            Holding::DiverGas => &[Duty::DiverGas],
            Holding::BellGas | Holding::BellOxygen => &[Duty::OnBoard],
            Holding::PressingMix => &[Duty::BottomMix, Duty::Recovered],
            Holding::MaskGas => &[Duty::Emergency, Duty::Treatment],
            Holding::Oxygen => &[Duty::Oxygen],
            Holding::EscapeAir => &[Duty::Air],
            Holding::BellAbsorbent | Holding::ChamberAbsorbent => &[],
        }
    }

    /// Whether it is breathed as it is at depth, and so must lie within the window of partial pressures.
    pub fn breathed(self) -> bool {
        matches!(
            self,
            Holding::DiverGas | Holding::BellGas | Holding::MaskGas
        )
    }
}

impl fmt::Display for Holding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Holding::DiverGas => "divers' gas",
            Holding::BellGas => "gas on the bell",
            Holding::BellOxygen => "oxygen on the bell",
            Holding::BellAbsorbent => "absorbent in the bell",
            Holding::PressingMix => "blow-down mix",
            Holding::MaskGas => "gas for BIBS",
            Holding::Oxygen => "chamber oxygen",
            Holding::ChamberAbsorbent => "absorbent in the chambers",
            Holding::EscapeAir => "air of escape sets",
        })
    }
}

/// What a reserve is kept against. Rows against the same event overlap, for one stock serves them all; those of the way
/// home are parts of it, and add.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Event {
    /// The dive is ended on open circuit, reclaim or the blender stopped or not.
    DiveEnds,
    /// The bell is cut off.
    BellCutOff,
    /// A chamber loses its pressure.
    PressureLost,
    /// The chambers' gas cannot be breathed.
    FoulGas,
    /// The chambers' life support fails.
    LifeSupportFails,
    /// The control room cannot be breathed in.
    FoulControlRoom,
    /// Everybody is brought home.
    WayHome,
}

impl fmt::Display for Event {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Event::DiveEnds => "the dive is ended, on open circuit",
            Event::BellCutOff => "the bell is cut off",
            Event::PressureLost => "a chamber loses its pressure",
            Event::FoulGas => "the chambers' gas cannot be breathed",
            Event::LifeSupportFails => "the chambers' life support fails",
            Event::FoulControlRoom => "the control room cannot be breathed in",
            Event::WayHome => "everybody is brought home",
        })
    }
}
