//! What handles, lamps and labels on the panel say of the steel: as ordered and as written, not as it is.

use crate::plant::Plant;
use crate::state::banks::BankStock;
use crate::state::controls::Controls;
use deepstay_core::record::{LineName, Machine, ValveName};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// A machine's switch and lamp. Switched on without running, it has tripped.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lamp {
    /// Its switch is on.
    pub switched: bool,
    /// It runs.
    pub running: bool,
}

/// The panel's handles, lamps and labels.
#[derive(Clone, Copy)]
pub struct Positions<'a> {
    controls: &'a Controls,
    stock: &'a BankStock,
}

impl Plant {
    /// The panel's handles, lamps and labels.
    pub fn positions(&self) -> Positions<'_> {
        let view = self.view();
        Positions {
            controls: view.model.controls,
            stock: view.stock,
        }
    }
}

impl Positions<'_> {
    /// Whether a door is open (its lamp on the panel).
    pub fn door_open(&self, d: DoorId) -> bool {
        self.controls.door(d.index()).open
    }

    /// Whether a mating face is clamped.
    pub fn door_clamped(&self, d: DoorId) -> bool {
        self.controls.door(d.index()).clamped
    }

    /// Valve position as ordered: what the panel's handle shows; shut where there is no such valve.
    pub fn valve_ordered(&self, v: ValveName) -> f64 {
        self.controls.valve(v).map_or(0.0, |valve| valve.ordered)
    }

    /// Bank lined up to a line.
    pub fn lined_up(&self, line: LineName) -> Option<BankId> {
        self.controls.lined_up(line)
    }

    /// Whether the stop of a bank is shut.
    pub fn bank_stopped(&self, bank: BankId) -> bool {
        self.controls.bank_stopped(bank)
    }

    /// What the regulator of a line is set to over the pressure behind it, Pa.
    pub fn regulator_pa(&self, line: LineName) -> f64 {
        self.controls.regulator_pa(line)
    }

    /// Oxygen fraction of a bank's last analysis.
    pub fn analysed_o2(&self, bank: BankId) -> Option<f64> {
        self.stock.analysed_o2(bank)
    }

    /// What the switch and the lamp of a machine say.
    pub fn lamp(&self, c: CompartmentId, machine: Machine) -> Lamp {
        let set = self.controls.of(c.index());
        let (switched, failed) = match machine {
            Machine::Fan => (set.fan.on, set.fan.failed),
            Machine::Climate => (set.climate.on, set.climate.failed),
            Machine::OxygenControl => (set.auto_oxygen.on, false),
            Machine::HotWater => (set.hot_water, false),
            Machine::Reclaim => (set.reclaim.on, set.reclaim.failed),
            Machine::Recovery => (set.recovery, false),
        };
        Lamp {
            switched,
            running: switched && !failed,
        }
    }

    /// What the automatic oxygen make-up is set to: ppO2 to hold and band over it, bar.
    pub fn oxygen_set(&self, c: CompartmentId) -> (f64, f64) {
        let set = self.controls.of(c.index()).auto_oxygen;
        (set.set_bar, set.band_bar)
    }

    /// What the climate unit is set to: temperature, K, and relative humidity, 0 to 1.
    pub fn climate_set(&self, c: CompartmentId) -> (f64, f64) {
        let set = self.controls.of(c.index()).climate;
        (set.t_k, set.humidity)
    }

    /// Whether the gag valve before a relief valve is shut.
    pub fn gagged(&self, c: CompartmentId) -> bool {
        self.controls.of(c.index()).relief.gagged
    }

    /// The winch of a bell: where it was sent and what its wire shows now, msw.
    pub fn winch(&self, bell: CompartmentId, t_s: i64) -> (f64, f64) {
        let state = self.controls.bell(bell.index());
        (state.to_msw, state.msw(t_s as f64))
    }

    /// Whether hot water flows to a bell and its divers.
    pub fn hot_water(&self, bell: CompartmentId) -> bool {
        self.controls.of(bell.index()).hot_water
    }

    /// Whether a bell's divers are switched to the loop.
    pub fn on_reclaim(&self, bell: CompartmentId) -> bool {
        self.controls.of(bell.index()).reclaim.on
    }
}
