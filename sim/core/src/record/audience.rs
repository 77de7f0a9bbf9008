//! Whom an entry is for: what panel and voices tell a watch, and what only looking back may show.
//!
//! The match is total: a new kind of entry does not compile until it is said who may see it.

use super::{Entry, What};
use crate::units::Truth;

/// Whom an entry is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Audience {
    /// Whoever sits at the panel: readings, lamps, handles, alarms, what the watch itself wrote.
    Panel,
    /// Whoever is on the speaker: what people said, where they went, what they breathe from.
    Voice,
    /// Nobody on the watch: what is true and what no instrument shows.
    Truth,
}

impl What {
    /// Whom it is for.
    pub fn audience(&self) -> Audience {
        match self {
            What::Logged { truth, .. }
            | What::Limit { truth, .. }
            | What::LimitFurther { truth, .. } => match truth {
                Truth::Shown => Audience::Panel,
                Truth::True => Audience::Truth,
            },
            What::Said { .. }
            | What::Diver { .. }
            | What::Breathing { .. }
            | What::BailOut { .. }
            | What::InboardStop { .. }
            | What::Relief { .. }
            | What::Called { .. }
            | What::Answered { .. }
            | What::Told { .. } => Audience::Voice,
            What::ScrubberLogged { .. }
            | What::Target { .. }
            | What::LogRow
            | What::Door { .. }
            | What::Valve { .. }
            | What::LinedUp { .. }
            | What::LineOff { .. }
            | What::BankStop { .. }
            | What::RegulatorSet { .. }
            | What::SampleTurned { .. }
            | What::Camera { .. }
            | What::Gagged { .. }
            | What::HullStop { .. }
            | What::Canister { .. }
            | What::Machine { .. }
            | What::OxygenSet { .. }
            | What::ClimateSet { .. }
            | What::BellSent { .. }
            | What::RuleRow { .. }
            | What::Calibrated { .. }
            | What::Adjusted { .. }
            | What::Analysed { .. }
            | What::LimitBand { .. }
            | What::Alarm { .. }
            | What::AlarmActed { .. }
            | What::AlarmUnshelved { .. }
            | What::Silenced { .. }
            | What::BellPhase { .. }
            | What::BellStopped { .. }
            | What::Phase { .. }
            | What::Step { .. }
            | What::Routine { .. }
            | What::Found { .. }
            | What::Handover { .. }
            | What::Sits { .. }
            | What::TakenUp
            | What::Noted { .. }
            | What::OnSheet { .. }
            | What::Weather { .. }
            | What::Refused { .. } => Audience::Panel,
            What::Opening { .. }
            | What::Closing { .. }
            | What::Moved { .. }
            | What::BankLogged { .. }
            | What::Headcount { .. }
            | What::Fitness { .. }
            | What::Fault { .. }
            | What::DiverTotals { .. } => Audience::Truth,
        }
    }
}

impl Entry {
    /// Whether somebody on the watch may know of it.
    pub fn is_known_to_the_watch(&self) -> bool {
        self.what.audience() != Audience::Truth
    }
}
