//! Acts from outside: of a person, a script or a test, each with its second and the station whose act it is.
//! Scenario, seed, options and these acts make the same job again, bit for bit; what an automatic station does
//! follows from them and is not among them.

use deepstay_core::order::Order;
use deepstay_core::record::{Phase, Station};
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
