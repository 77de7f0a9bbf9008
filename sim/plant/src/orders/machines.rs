//! Machines: fans, climate units, automatic oxygen, hot water, reclaim, recovery.

use super::hand::Hand;
use crate::monitors::monitor::Watched;
use deepstay_core::record::{Machine, Refused, Sink, What};
use deepstay_core::units::*;

/// Owner of the plant's own monitors (automatic oxygen): its compartment is added to it.
const PLANT_OWNER: u32 = 1 << 30;

impl<S: Sink> Hand<'_, S> {
    /// Switches a machine.
    pub fn switch(&mut self, c: CompartmentId, machine: Machine, on: bool) -> Result<(), Refused> {
        let i = self.index(c)?;
        let (spread, steel) = (self.steel(), &self.steel().compartments[i]);
        let there = match machine {
            // What comes back to a loop goes through its absorbent by itself.
            Machine::Fan => steel.scrubber.is_some() && spread.reclaim.is_none_or(|r| r.tank != c),
            Machine::Climate => steel.climate.is_some(),
            Machine::OxygenControl => steel.oxygen_m2 > 0.0,
            Machine::HotWater => steel.bell.is_some(),
            Machine::Reclaim => steel.bell.is_some() && spread.reclaim.is_some(),
            Machine::Recovery => spread.recovery.is_some(),
        };
        if !there {
            return Err(Refused::NoSuchThing);
        }
        self.give_and_touch(i);
        let set = self.setting_mut(i);
        match machine {
            Machine::Fan => set.fan.on = on,
            Machine::Climate => set.climate.on = on,
            Machine::HotWater => set.hot_water = on,
            Machine::Reclaim => {
                set.reclaim.on = on;
                self.touch_loop();
                self.plant.gather_gates();
            }
            Machine::Recovery => {
                set.recovery = on;
                self.plant.gather_gates();
            }
            Machine::OxygenControl => {
                set.auto_oxygen.on = on;
                set.auto_oxygen.adding = false;
                self.watch_oxygen(i);
            }
        }
        self.tell(What::Machine {
            compartment: c,
            machine,
            on,
        });
        Ok(())
    }

    /// Sets the climate unit.
    pub fn set_climate(
        &mut self,
        compartment: CompartmentId,
        t_k: f64,
        humidity: f64,
    ) -> Result<(), Refused> {
        if !(250.0..330.0).contains(&t_k) || !(0.0..=1.0).contains(&humidity) {
            return Err(Refused::OutOfRange);
        }
        let i = self.index(compartment)?;
        self.touch(i);
        let climate = &mut self.setting_mut(i).climate;
        (climate.t_k, climate.humidity) = (t_k, humidity);
        Ok(())
    }

    /// Sets the automatic oxygen make-up.
    pub fn set_oxygen(
        &mut self,
        compartment: CompartmentId,
        ppo2_bar: f64,
        band_bar: f64,
    ) -> Result<(), Refused> {
        if !(0.0..3.0).contains(&ppo2_bar) || !(0.0..1.0).contains(&band_bar) {
            return Err(Refused::OutOfRange);
        }
        let i = self.index(compartment)?;
        let auto = &mut self.setting_mut(i).auto_oxygen;
        (auto.set_bar, auto.band_bar) = (ppo2_bar, band_bar);
        self.watch_oxygen(i);
        Ok(())
    }

    /// Waits for the reading at which automatic oxygen starts or stops.
    fn watch_oxygen(&mut self, i: usize) {
        let auto = self.controls().of(i).auto_oxygen;
        let id = CompartmentId(i as u8);
        let analyser = self
            .steel()
            .instrument(id, Quantity::PpO2, Channel::Primary)
            .filter(|_| auto.on);
        let monitor = analyser.map(|k| {
            let value = if auto.adding {
                auto.set_bar + auto.band_bar
            } else {
                auto.set_bar
            };
            (Watched::Shown(k), auto.adding, value)
        });
        let owner = PLANT_OWNER + i as u32;
        self.plant.set_monitors(owner, monitor, self.t_s);
    }

    /// Starts or stops automatic oxygen where its monitor was met; false when the owner is somebody else.
    pub fn turn_oxygen(&mut self, owner: u32) -> bool {
        if owner < PLANT_OWNER {
            return false;
        }
        let i = (owner - PLANT_OWNER) as usize;
        self.give_and_touch(i);
        let auto = &mut self.setting_mut(i).auto_oxygen;
        auto.adding = !auto.adding;
        self.watch_oxygen(i);
        true
    }
}
