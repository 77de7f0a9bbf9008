//! What handles, lamps and labels on the panel say of the steel: as ordered and as written, not as it is.

use crate::plant::Plant;
use crate::state::banks::BankStock;
use crate::state::controls::Controls;
use deepstay_core::record::{LineName, ValveName};
use deepstay_core::units::*;

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
        self.controls.line(line)
    }

    /// Oxygen fraction of a bank's last analysis.
    pub fn analysed_o2(&self, bank: BankId) -> Option<f64> {
        self.stock.analysed_o2(bank)
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
