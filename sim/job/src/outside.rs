//! Acts from outside: of a person, a script or a test, each with its second and the station whose act it is.
//! Scenario, seed, options and these acts make the same job again, bit for bit; what an automatic station does
//! follows from them and is not among them.

use super::clock::{Job, Options};
use super::ended::Halt;
use deepstay_core::order::Order;
use deepstay_core::record::{Phase, Sink, Station};
use deepstay_core::units::CompartmentId;
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

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

impl Job {
    /// The job that these acts make, and why it stopped: a new one, to which each is given at its second, up to a
    /// last second.
    pub fn replay(
        scenario: Arc<Scenario>,
        options: Options,
        acts: &[OutsideAct],
        until_s: i64,
        sink: &mut impl Sink,
    ) -> (Job, Halt) {
        let mut job = Job::new(scenario, options);
        for act in acts.iter().filter(|act| act.at <= until_s) {
            // At its very beginning nothing has happened yet, and the act waits with the job.
            if act.at > job.now()
                && let ended @ Halt::Ended(_) = job.advance_to(act.at, sink)
            {
                return (job, ended);
            }
            job.act(act.station, act.act);
        }
        let halt = job.advance_to(until_s, sink);
        (job, halt)
    }
}
