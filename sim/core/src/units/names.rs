//! Names of things on board, as small ids, and the closed lists of places, purposes and quantities.

use serde::{Deserialize, Serialize};

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident($repr:ty);)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub struct $name(pub $repr);

        impl $name {
            /// Position in the list the id counts along.
            pub fn index(self) -> usize {
                usize::from(self.0)
            }
        }
    )*};
}

ids! {
    /// A vessel that gas can be in: chamber, trunk, bell, lock or tank; counts along the spread's list.
    CompartmentId(u8);
    /// A door or hatch between two compartments, or between one and the outside.
    DoorId(u8);
    /// A bank of bottles, quads or tubes that is drawn as one.
    BankId(u8);
    /// A diver; counts along the scenario's crew list.
    DiverId(u8);
    /// A gauge or analyser channel.
    InstrumentId(u16);
    /// A row of the rule set in use; counts along the rows that its answers may name.
    RuleRowId(u16);
}

/// Where moles can be. Every transfer in the ledger is from one place to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Place {
    /// A bank on deck or on the bell.
    Bank(BankId),
    /// The gas of a compartment.
    Compartment(CompartmentId),
    /// The air on deck: what is vented goes there, and open locks take air from there.
    Atmosphere,
    /// The sea: what bubbles out of the bell or of a diver's helmet.
    Sea,
    /// The bodies of the divers: oxygen goes in, carbon dioxide and water come out.
    Body,
    /// Absorbent of the scrubber in a compartment; carbon dioxide stays, water comes out.
    Absorbent(CompartmentId),
    /// Liquid water that a coil or a cold wall took out of a compartment.
    Drained(CompartmentId),
    /// Water brought in as liquid that evaporates: showers, laundry, the moon pool.
    LiquidWater,
}

/// What a movement of gas was for; the ledger and the report add up by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Purpose {
    /// Pressing a chamber to depth.
    BlowDown,
    /// Holding depth against leaks, locks and cooling.
    MakeUp,
    /// Oxygen added to keep or raise ppO2.
    Oxygen,
    /// Gas for divers in the water: drawn on open circuit or to make up the loop, lost from it, kept by bodies.
    DiverGas,
    /// Diver gas that reclaim brought back into its loop.
    Reclaimed,
    /// Built-in breathing masks.
    Bibs,
    /// Pressing the bell or its trunk.
    BellAndTrunk,
    /// Gas let go when the trunk is vented after the seal.
    TrunkVent,
    /// Gas pushed out of the open bell by rise, tide or excess supply.
    BellSpill,
    /// Medical and equipment lock runs.
    LockRun,
    /// Toilet, shower and drain flushes.
    Flush,
    /// Controlled exhaust: bleeding up in decompression or letting depth down.
    Bleed,
    /// Chamber gas recovered on decompression.
    Recovery,
    /// Leaks from the steel, planned or not.
    Leak,
    /// Sample flow to the analysers.
    Sample,
    /// Between compartments, through an open door or an equalising valve.
    Transfer,
    /// What bodies take and give.
    Metabolism,
    /// What absorbent takes and gives.
    Absorption,
    /// Water condensed or evaporated.
    Water,
    /// A hidden fault moved it.
    Fault,
    /// Relief valves.
    Relief,
}

impl Purpose {
    /// Every purpose, in ledger order.
    pub const ALL: [Purpose; 21] = [
        Purpose::BlowDown,
        Purpose::MakeUp,
        Purpose::Oxygen,
        Purpose::DiverGas,
        Purpose::Reclaimed,
        Purpose::Bibs,
        Purpose::BellAndTrunk,
        Purpose::TrunkVent,
        Purpose::BellSpill,
        Purpose::LockRun,
        Purpose::Flush,
        Purpose::Bleed,
        Purpose::Recovery,
        Purpose::Leak,
        Purpose::Sample,
        Purpose::Transfer,
        Purpose::Metabolism,
        Purpose::Absorption,
        Purpose::Water,
        Purpose::Fault,
        Purpose::Relief,
    ];
}

/// What a gauge, an analyser or a limit speaks of. The unit of its plain number is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Quantity {
    /// Depth equivalent of a compartment's pressure, msw.
    Depth,
    /// Oxygen partial pressure, bar.
    PpO2,
    /// Oxygen fraction, 0 to 1.
    FO2,
    /// Carbon dioxide partial pressure, bar.
    PpCo2,
    /// Gas temperature, kelvin.
    Temperature,
    /// Relative humidity, 0 to 1.
    Humidity,
    /// Bank or supply gauge pressure, bar.
    GaugePressure,
    /// Sea depth of the bell, msw.
    SeaDepth,
}

/// Which of two instruments for the same quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Channel {
    /// The one the panel shows first and control acts on.
    Primary,
    /// The one beside it.
    Secondary,
}

/// Whether a value is the plant's truth or what an instrument showed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Truth {
    /// As it is.
    True,
    /// As shown or told.
    Shown,
}

/// What a compartment is built for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum CompartmentKind {
    /// Where divers live.
    Living,
    /// Wet pot: shower, toilet, and the way to the trunk.
    Transfer,
    /// Tunnel between chambers or to the bell.
    Trunk,
    /// Diving bell.
    Bell,
    /// Hyperbaric rescue chamber.
    Rescue,
    /// Small lock for meals, laundry and stores.
    MedicalLock,
    /// Larger lock for equipment.
    EquipmentLock,
    /// Sanitary and drain holding tank.
    HoldingTank,
    /// Volume tank of the loop that brings divers' gas back.
    ReclaimTank,
}

impl CompartmentKind {
    /// Whether people go into it, so that a depth is ordered of it.
    pub fn people_go_into(self) -> bool {
        match self {
            CompartmentKind::Living
            | CompartmentKind::Transfer
            | CompartmentKind::Trunk
            | CompartmentKind::Bell
            | CompartmentKind::Rescue => true,
            CompartmentKind::MedicalLock
            | CompartmentKind::EquipmentLock
            | CompartmentKind::HoldingTank
            | CompartmentKind::ReclaimTank => false,
        }
    }
}

/// What a bank is used for, as its label says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Duty {
    /// Pressing and make-up.
    BottomMix,
    /// Divers' breathing gas.
    DiverGas,
    /// Oxygen.
    Oxygen,
    /// Treatment mixes.
    Treatment,
    /// Emergency gas for masks.
    Emergency,
    /// Pure helium.
    Helium,
    /// Air.
    Air,
    /// Calibration gas.
    Calibration,
    /// On the bell.
    OnBoard,
    /// Receives recovered gas.
    Recovered,
}
