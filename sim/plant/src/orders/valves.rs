//! Valves.

use super::hand::Hand;
use deepstay_core::record::{Refused, Sink, ValveName, What};
use deepstay_core::units::*;

impl<S: Sink> Hand<'_, S> {
    /// Sets a valve to an opening, for a purpose.
    pub fn valve(
        &mut self,
        valve: ValveName,
        opening: f64,
        purpose: Purpose,
    ) -> Result<(), Refused> {
        if !(0.0..=1.0).contains(&opening) {
            return Err(Refused::OutOfRange);
        }
        let state = self.controls().valve(valve)?;
        if state.ordered == opening && (state.purpose == purpose || opening == 0.0) {
            return Ok(());
        }
        if let ValveName::Equalise(d) = valve
            && opening > 0.0
            && !self.controls().door(d.index()).clamped
        {
            return Err(Refused::ClampInterlock);
        }
        for i in self.valve_ends(valve).into_iter().flatten() {
            self.give_and_touch(i);
        }
        let state = self.controls_mut().valve_mut(valve)?;
        state.ordered = opening;
        if opening > 0.0 {
            state.purpose = purpose;
        }
        if matches!(valve, ValveName::Equalise(_) | ValveName::Drain(_)) {
            self.plant.regroup(self.t_s);
        }
        self.tell(What::Valve { valve, opening });
        Ok(())
    }

    /// Compartments a valve works on.
    pub fn valve_ends(&self, valve: ValveName) -> [Option<usize>; 2] {
        match valve {
            ValveName::BlowDown(c)
            | ValveName::Oxygen(c)
            | ValveName::Exhaust(c)
            | ValveName::Bleed(c) => [Some(c.index()), None],
            ValveName::Drain(c) => {
                let tank = self.steel().compartments[c.index()].drain_to;
                [Some(c.index()), tank.map(CompartmentId::index)]
            }
            ValveName::Equalise(d) => {
                let door = &self.steel().doors[d.index()];
                [Some(door.a.index()), door.b.map(CompartmentId::index)]
            }
        }
    }
}
