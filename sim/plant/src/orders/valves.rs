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

    /// Shuts the hull stop of whatever leaks at a compartment, or opens what was shut. Where nothing leaks that has
    /// one there is nothing to shut.
    pub fn hull_stop(&mut self, c: CompartmentId, shut: bool) -> Result<(), Refused> {
        let i = self.index(c)?;
        let outward = [
            ValveName::Exhaust(c),
            ValveName::Bleed(c),
            ValveName::Drain(c),
        ];
        let mut moves = Vec::new();
        for valve in outward {
            let state = self.controls().valve(valve)?;
            let turns = if shut { state.passes() } else { state.stopped };
            if turns && state.stopped != shut {
                moves.push(valve);
            }
        }
        let hole = self.controls().of(i).hole;
        let turns_hole = hole.has_stop && hole.area_m2 > 0.0 && hole.stopped != shut;
        if moves.is_empty() && !turns_hole {
            return Err(Refused::NoSuchThing);
        }
        self.give_and_touch(i);
        for valve in moves {
            for end in self.valve_ends(valve).into_iter().flatten() {
                self.give_and_touch(end);
            }
            self.controls_mut().valve_mut(valve)?.stopped = shut;
        }
        if turns_hole {
            self.setting_mut(i).hole.stopped = shut;
        }
        self.plant.regroup(self.t_s);
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
