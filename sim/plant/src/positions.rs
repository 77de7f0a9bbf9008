//! What handles, lamps and labels on the panel say of the steel: as ordered and as written, not as it is.

use crate::instruments::panel::Instruments;
use crate::state::controls::Controls;
use crate::view::View;
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

/// The panel's handles, lamps, labels and line gauges.
#[derive(Clone, Copy)]
pub struct Positions<'a> {
    controls: &'a Controls,
    view: View<'a>,
    instruments: &'a Instruments,
}

/// Smallest step that a line's gauge is read to, bar (house figure).
const LINE_GAUGE_BAR: f64 = 0.5;

impl<'a> Positions<'a> {
    /// Of a plant at any second.
    pub(crate) fn of(view: View<'a>, instruments: &'a Instruments) -> Positions<'a> {
        Positions {
            controls: view.model.controls,
            view,
            instruments,
        }
    }

    /// Height of the sea above its mean level by the tide table, m.
    pub fn tide_m(&self, t_s: i64) -> f64 {
        self.view.model.sea.above_mean_m(t_s as f64)
    }

    /// The vessel whose gas an analyser is turned to, where that is not its own.
    pub fn turned_to(&self, instrument: InstrumentId) -> Option<CompartmentId> {
        self.instruments.turned(instrument)
    }

    /// What the gauge of a line shows, behind its regulator, bar over the pressure at the deck: what the regulator holds
    /// over the pressure behind it, as far as the bank has it; divers' main gas on reclaim is fed from the loop's tank.
    /// None where nothing feeds the line: nothing lined up, or the bank's stop shut.
    pub fn line_gauge_bar(&self, line: LineName, t_s: i64) -> Option<f64> {
        let view = &self.view;
        let fed_pa = match view.loop_behind(line) {
            Some(tank) => view.pressure_pa(tank, t_s),
            None => {
                let bank = self.lined_up(line).filter(|b| !self.bank_stopped(*b))?;
                let over_pa = view.breathed_at_pa(line, t_s) + self.regulator_pa(line);
                view.bank_pa(bank, t_s).min(over_pa)
            }
        };
        let gauge_bar = (fed_pa - view.model.steel.surface_pa) / BAR_PA;
        Some((gauge_bar / LINE_GAUGE_BAR).round() * LINE_GAUGE_BAR)
    }

    /// Whether a door is open (its lamp on the panel).
    pub fn door_open(&self, d: DoorId) -> bool {
        self.controls.door(d.index()).open
    }

    /// Whether the clamps of all mating faces of a bell are made.
    pub fn mated(&self, bell: CompartmentId) -> bool {
        let doors = (0u8..).map(DoorId).zip(&self.view.model.steel.doors);
        let mut faces = doors.filter(|(_, d)| d.clamp && d.touches(bell));
        faces.all(|(id, _)| self.door_clamped(id))
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
        self.view.stock.analysed_o2(bank)
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
