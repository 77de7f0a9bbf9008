//! Relief valves: each lifts at its set pressure and reseats at a lower one, on whole seconds. Shut off by its gag
//! valve it does nothing.

use super::hand::Hand;
use crate::plant::{RELIEF_OWNER, watch_relief};
use deepstay_core::record::{Refused, Sink, What};
use deepstay_core::units::*;

impl<S: Sink> Hand<'_, S> {
    /// Shuts or opens the gag valve before a relief valve.
    pub fn gag(&mut self, c: CompartmentId, shut: bool) -> Result<(), Refused> {
        let i = self.index(c)?;
        if self.steel().compartments[i].relief.is_none() {
            return Err(Refused::NoSuchThing);
        }
        let lifted = self.controls().of(i).relief.lifted;
        if shut && lifted {
            self.lift(i, false);
        }
        self.setting_mut(i).relief.gagged = shut;
        watch_relief(self.plant, i, self.t_s);
        Ok(())
    }

    /// Lifts or reseats a relief valve whose monitor was met; false when the owner is somebody else.
    pub fn turn_relief(&mut self, owner: u32) -> bool {
        if owner < RELIEF_OWNER {
            return false;
        }
        let i = (owner - RELIEF_OWNER) as usize;
        let lifted = self.controls().of(i).relief.lifted;
        self.lift(i, !lifted);
        watch_relief(self.plant, i, self.t_s);
        true
    }

    fn lift(&mut self, i: usize, lifted: bool) {
        self.give_and_touch(i);
        self.setting_mut(i).relief.lifted = lifted;
        self.tell(What::Relief {
            compartment: CompartmentId(i as u8),
            lifted,
        });
    }
}
