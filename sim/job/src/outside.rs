//! Acts from outside: of a person, a script or a test, each with its second and the station whose act it is.
//! Scenario, seed, options and these acts make the same job again, bit for bit; what an automatic station does
//! follows from them and is not among them.

use deepstay_core::fault::FaultKind;
use deepstay_core::order::Order;
use deepstay_core::record::{
    AlarmDeed, Callee, LimitName, Phase, Phrase, Routine, Sitter, Station,
};
use deepstay_core::units::CompartmentId;
use serde::{Deserialize, Serialize};

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Act {
    /// An order to the steel or to people.
    Order(Order),
    /// What a chamber is to do from now on, which its limits follow.
    Aim {
        /// Which.
        compartment: CompartmentId,
        /// Its phase.
        phase: Phase,
        /// The depth it is to have, msw.
        depth_msw: f64,
    },
    /// Something about one alarm.
    Alarm {
        /// Which.
        name: LimitName,
        /// What.
        deed: AlarmDeed,
    },
    /// Every alarm that sounds at the station, and nobody has acknowledged, is.
    AcknowledgeAll,
    /// The sounder of the station is silenced; the lamps stay.
    Silence,
    /// A routine that a person signs for in the log: readings taken, a check gone through.
    Sign {
        /// Where.
        compartment: CompartmentId,
        /// What.
        routine: Routine,
    },
    /// A hand at a lock takes a run through it, from deck to chamber and back.
    LockRun {
        /// Which lock.
        lock: CompartmentId,
        /// What goes in.
        routine: Routine,
    },
    /// A vessel is looked into by its camera.
    Camera {
        /// Which.
        compartment: CompartmentId,
    },
    /// Something written into the log by hand. Its words are kept by whoever keeps the acts, under this number.
    Note(u32),
    /// An item of a sheet is gone through, or where none is named the sheet is signed. Whoever keeps the acts keeps the
    /// sheets, and sees to it that none is signed with an item open.
    Sheet {
        /// Which, by its place among the sheets.
        sheet: u16,
        /// Which item.
        item: Option<u16>,
    },
    /// Who sits at a station from now on. After a person or nobody the automatic watch begins by shutting what it
    /// finds open, and goes on from what its panel shows.
    Sit {
        /// Which.
        station: Station,
        /// Who.
        sitter: Sitter,
    },
    /// Something goes wrong from the next second on.
    Fault(FaultKind),
    /// What went wrong, by its place in the list of faults, is put right.
    Cure(u16),
    /// Somebody is called; what comes back comes later, or not at all.
    Call {
        /// Whom.
        to: Callee,
        /// What is said to him.
        phrase: Phrase,
    },
}

/// An act from outside.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct OutsideAct {
    /// The second at which it was given; it is carried out when time next passes.
    pub at: i64,
    /// Whose it is.
    pub station: Station,
    /// What is done.
    pub act: Act,
}
