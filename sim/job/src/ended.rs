//! Why a job stopped, and how it ended.

use deepstay_core::record::HarmCause;
use deepstay_core::units::DiverId;
use deepstay_core::words::{Names, Words};
use deepstay_plant::BelowZero;
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};

/// How a job ended.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Ended {
    /// Every level is back at the surface.
    Surfaced,
    /// The plan's last second came first.
    PlanOver,
    /// A diver died, and of what.
    Died(DiverId, HarmCause),
    /// An amount somewhere was below nothing: a fault of the program, and nothing after it can be believed.
    BelowZero(BelowZero),
}

impl Ended {
    /// In words, for a job of that scenario.
    pub fn words(self, scenario: &Scenario) -> String {
        let initials = |d: DiverId| &scenario.crew[d.index()].initials;
        match self {
            Ended::Surfaced => "all divers at the surface".to_owned(),
            Ended::PlanOver => {
                "the plan's last second came before all divers were at the surface".to_owned()
            }
            Ended::Died(d, cause) => format!("{} died: {}", initials(d), cause.words()),
            Ended::BelowZero(BelowZero {
                at_s,
                place,
                species,
                mol,
            }) => format!(
                "a fault of this program: {mol:.3e} mol of {} in {} at second {at_s}, below nothing; \
                 nothing here can be believed",
                species.words(),
                scenario.place(place)
            ),
        }
    }
}

/// Why time stopped passing.
#[derive(Clone, Copy, Debug, PartialEq)]
#[must_use = "a job may have ended before the second that was asked for"]
pub enum Halt {
    /// The second asked for is reached, and the job goes on.
    Reached,
    /// The job is over, at that second or before it.
    Ended(Ended),
}
