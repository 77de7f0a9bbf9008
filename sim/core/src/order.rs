//! Orders: the only way to act on the steel and on people. Scenario, seed and the list of
//! (time, order) make the same job again, bit for bit.

use crate::record::{Adjusted, LineName, Machine, ValveName};
use crate::units::*;
use serde::{Deserialize, Serialize};

/// An order, to the steel or to people.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Order {
    /// To the steel.
    Steel(SteelOrder),
    /// To people.
    People(PeopleOrder),
}

/// An order to the steel.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum SteelOrder {
    /// Set a valve to an opening, 0 to 1; what flows is booked under `purpose`.
    Valve {
        /// Which.
        valve: ValveName,
        /// 0 shut, 1 fully open.
        opening: f64,
        /// What it is for.
        purpose: Purpose,
    },
    /// Line a bank up to a line.
    LineUp {
        /// Which line.
        line: LineName,
        /// Which bank.
        bank: BankId,
    },
    /// Shut a line off at the bank: nothing flows through it, whatever stands open behind.
    LineOff {
        /// Which line.
        line: LineName,
    },
    /// Shut the stop of a bank, or open it: nothing flows to or from it, whatever is lined up to it.
    BankStop {
        /// Which.
        bank: BankId,
        /// Shut, or open.
        shut: bool,
    },
    /// Set the regulator of a line: so much over the pressure of the vessel, or of the divers, that it leads to.
    Regulator {
        /// Which line.
        line: LineName,
        /// Over the pressure behind it, Pa.
        over_pa: f64,
    },
    /// Set the needle valve of the oxygen by its flow meter.
    Trickle {
        /// Where.
        compartment: CompartmentId,
        /// Flow that the meter is to show, mol/s.
        mol_s: f64,
    },
    /// Turn an analyser to the sample line of another vessel, or back to its own.
    SampleFrom {
        /// Which.
        instrument: InstrumentId,
        /// Whose gas it is to look at.
        from: CompartmentId,
    },
    /// Open or shut a door. Refused under a pressure difference.
    Door {
        /// Which.
        door: DoorId,
        /// Open, or shut.
        open: bool,
    },
    /// Make or break a clamp. Refused by the interlock while there is pressure in the trunk.
    Clamp {
        /// Which mating face.
        door: DoorId,
        /// Made, or broken.
        made: bool,
    },
    /// Switch a machine.
    Switch {
        /// Where.
        compartment: CompartmentId,
        /// Which.
        machine: Machine,
        /// On or off.
        on: bool,
    },
    /// Set the climate unit.
    ClimateSet {
        /// Where.
        compartment: CompartmentId,
        /// Temperature to hold, K.
        t_k: f64,
        /// Relative humidity to hold, 0 to 1.
        humidity: f64,
    },
    /// Set the automatic oxygen make-up: it adds when its analyser reads below the set point, and
    /// stops when it reads above set point plus the band. It acts on the primary analyser's reading.
    OxygenSet {
        /// Where.
        compartment: CompartmentId,
        /// ppO2 to hold, bar.
        ppo2_bar: f64,
        /// Above this it stops, bar over the set point.
        band_bar: f64,
    },
    /// Shut the gag valve before a relief valve, or open it.
    Gag {
        /// Where.
        compartment: CompartmentId,
        /// Shut, or open.
        shut: bool,
    },
    /// Have an outside hand shut the hull stop of whatever leaks at a compartment, going by the noise: a failed
    /// penetrator that has one, or a drain, exhaust or bleed that passes against its handle; or open it again.
    HullStop {
        /// Where.
        compartment: CompartmentId,
        /// Shut, or open.
        shut: bool,
    },
    /// Put a fresh canister in.
    ChangeCanister {
        /// Where.
        compartment: CompartmentId,
    },
    /// Calibrate an analyser against its calibration gas: zero and span errors go to (nearly) nothing.
    Calibrate {
        /// Which.
        instrument: InstrumentId,
    },
    /// Lead a bottle's gas to an analyser and turn its zero, or its span, until it shows what the bottle's last analysis
    /// says, or where it has none its label.
    Adjust {
        /// Which.
        instrument: InstrumentId,
        /// The bottle.
        bank: BankId,
        /// Zero, or span.
        part: Adjusted,
    },
    /// Take a sample of a bank to the panel's analyser.
    Analyse {
        /// Which.
        bank: BankId,
    },
    /// Send the bell to a sea depth; zero is the mating position on deck.
    Bell {
        /// Which bell.
        bell: CompartmentId,
        /// Where to, msw of sea.
        to_msw: f64,
    },
}

/// An order to a person.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum PeopleOrder {
    /// Go to another compartment through open doors, or out of the bell into the water and back.
    Go {
        /// Who.
        diver: DiverId,
        /// Where to.
        to: crate::record::Whereabouts,
    },
    /// Do something.
    Do {
        /// Who.
        diver: DiverId,
        /// What.
        activity: Activity,
    },
    /// Breathe from a path.
    Breathe {
        /// Who.
        diver: DiverId,
        /// From what.
        path: crate::record::BreathingPath,
    },
    /// Wash under the shower of a compartment that he is in, or to which his way is open.
    Shower {
        /// Who.
        diver: DiverId,
        /// Where the shower is.
        at: CompartmentId,
    },
    /// Have his bail-out exchanged for a full one, in the dry.
    ExchangeBailOut {
        /// Who.
        diver: DiverId,
    },
    /// Shut the inboard hull stop of what leaks where he is, or open it again.
    InboardStop {
        /// Who.
        diver: DiverId,
        /// Shut, or open.
        shut: bool,
    },
}

impl PeopleOrder {
    /// To whom it is given.
    pub fn diver(&self) -> DiverId {
        let (PeopleOrder::Go { diver, .. }
        | PeopleOrder::Do { diver, .. }
        | PeopleOrder::Breathe { diver, .. }
        | PeopleOrder::Shower { diver, .. }
        | PeopleOrder::ExchangeBailOut { diver }
        | PeopleOrder::InboardStop { diver, .. }) = *self;
        diver
    }
}

/// What a diver does, as the metabolism knows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Activity {
    /// Asleep.
    Sleep,
    /// Sitting, reading, eating.
    Rest,
    /// Chamber chores, washing, dressing in.
    Chores,
    /// Exercise in the chamber.
    Exercise,
    /// Sitting in the bell, tending umbilicals.
    Bellman,
    /// In the water, not working.
    WaterRest,
    /// Light work in water.
    WaterLight,
    /// Moderate work in water.
    WaterModerate,
    /// Heavy work in water.
    WaterHeavy,
}
