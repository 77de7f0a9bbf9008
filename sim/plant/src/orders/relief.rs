//! Relief valves: each lifts at its set pressure and reseats at a lower one, on whole seconds. Shut off by its gag
//! valve it does nothing.

use super::hand::Hand;
use crate::monitors::monitor::Watched;
use crate::plant::Plant;
use deepstay_core::record::{Refused, Sink, What};
use deepstay_core::units::*;

/// Owner of the monitors of relief valves: its compartment is added to it.
const RELIEF_OWNER: u32 = (1 << 30) + (1 << 20);

/// Waits for the depth at which a vessel's relief valve lifts, or reseats.
pub(crate) fn watch(plant: &mut Plant, i: usize, t_s: i64) {
    let state = plant.view().model.controls.of(i).relief;
    let fitted = plant.steel().compartments[i].relief;
    let monitor = fitted.filter(|_| !state.gagged).map(|relief| {
        let depth = match state.lifted {
            true => relief.reseat_msw,
            false => relief.set_msw,
        };
        let watched = Watched::True(CompartmentId(i as u8), Quantity::Depth);
        (watched, !state.lifted, depth)
    });
    plant.set_monitors(RELIEF_OWNER + i as u32, monitor, t_s);
}

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
        watch(self.plant, i, self.t_s);
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
        watch(self.plant, i, self.t_s);
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
