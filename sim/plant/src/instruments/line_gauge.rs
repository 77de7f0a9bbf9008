//! The gauge of a line, behind its regulator: the second witness beside the gauge of the bank before it.

use crate::plant::Plant;
use deepstay_core::record::LineName;
use deepstay_core::units::*;

/// Smallest step that a line's gauge is read to, bar (house figure).
const STEP_BAR: f64 = 0.5;

impl Plant {
    /// What the gauge of a line shows, bar over the pressure at the deck: what its regulator holds over the pressure
    /// behind it, as far as the bank has it; divers' main gas on reclaim is fed from the loop's tank. None where nothing
    /// feeds the line: nothing lined up, or the bank's stop shut.
    pub fn line_gauge_bar(&self, line: LineName, t_s: i64) -> Option<f64> {
        let view = self.view();
        let controls = view.model.controls;
        let surface_pa = view.model.steel.surface_pa;
        let fed_pa = match view.loop_behind(line) {
            Some(tank) => view.pressure_pa(tank, t_s),
            None => {
                let bank = controls.lined_up(line)?;
                if controls.bank_stopped(bank) {
                    return None;
                }
                let over_pa = view.breathed_at_pa(line, t_s) + controls.regulator_pa(line);
                view.bank_pa(bank, t_s).min(over_pa)
            }
        };
        Some(((fed_pa - surface_pa) / BAR_PA / STEP_BAR).round() * STEP_BAR)
    }
}
