//! The 12-hour handover: the oncoming watch reads the gas status sheet before it takes over.

use super::context::Look;
use deepstay_core::record::{Routine, Station, What};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// When the station hands over next; none before the first look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Handover {
    next: Option<i64>,
}

impl Handover {
    /// Hands over when the clock says so.
    pub fn act(&mut self, look: &mut Look, station: Station, status_of: Option<CompartmentId>) {
        let kit = look.kit;
        let [day, night] = kit.scenario.plan.handover_s;
        let after = |now| kit.next_daily(now, day).min(kit.next_daily(now, night));
        let mut next = self.next.unwrap_or_else(|| after(look.now));
        if look.now >= next {
            if let Some(compartment) = status_of {
                look.write(What::Routine {
                    compartment,
                    routine: Routine::GasStatus,
                    diver: None,
                });
            }
            look.write(What::Handover { station });
            next = after(look.now);
        }
        self.next = Some(next);
        look.wake(next);
    }
}
