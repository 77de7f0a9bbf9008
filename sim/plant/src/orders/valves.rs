//! Valves.

use super::hand::Hand;
use crate::opening::through_mol_s;
use crate::state::banks::BankGas;
use deepstay_core::record::{LineName, Refused, Sink, ValveName, What};
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

    /// Turns the needle valve of the oxygen until its flow meter shows a flow.
    pub fn trickle(&mut self, c: CompartmentId, mol_s: f64) -> Result<(), Refused> {
        let i = self.index(c)?;
        let area_m2 = self.steel().compartments[i].oxygen_m2;
        if area_m2 <= 0.0 {
            return Err(Refused::NoSuchThing);
        }
        let full_mol_s = self.oxygen_mol_s(c, area_m2)?;
        if !(0.0..=full_mol_s).contains(&mol_s) {
            return Err(Refused::OutOfRange);
        }
        self.valve(ValveName::Oxygen(c), mol_s / full_mol_s, Purpose::Oxygen)
    }

    /// What the oxygen line of a compartment gives through an opening now, mol/s; refused where it gives nothing.
    fn oxygen_mol_s(&self, c: CompartmentId, area_m2: f64) -> Result<f64, Refused> {
        let line = LineName::Oxygen(c);
        let bank = self.controls().line(line).ok_or(Refused::NoSupply)?;
        let (view, down_pa) = (self.plant.view(), self.pressure_pa(c.index()));
        let contents = view.bank(bank, self.t_s);
        let gas = BankGas::of(&contents, contents.total());
        let regulated_pa = down_pa + self.controls().regulator_pa(line);
        let up_pa = view.bank_pa(bank, self.t_s).min(regulated_pa);
        let t_k = self.steel().banks[bank.index()].t_k;
        let full_mol_s = through_mol_s(area_m2, &gas.nozzle, up_pa, t_k, down_pa);
        (full_mol_s > 0.0)
            .then_some(full_mol_s)
            .ok_or(Refused::NoSupply)
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
            return Err(Refused::NoStop);
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
