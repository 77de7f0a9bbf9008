//! Temperature and humidity of a level: set by the band of its living depth, moved a little when the
//! divers say they are cold or hot, for they are the ones who judge comfort.

use super::asked;
use super::context::Look;
use super::house_figures;
use deepstay_core::record::{Machine, Spoken, Whereabouts};
use deepstay_plant::SteelOrder;
use serde::{Deserialize, Serialize};

/// Step by which a complaint moves the set point, K.
const STEP_K: f64 = 0.5;
/// Farthest that complaints move it, K (within 2 K: French order of 30 Oct 2012, art. 33).
const FARTHEST_K: f64 = 2.0;

/// State of a level's climate.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Climate {
    set_k: f64,
    moved_k: f64,
    on: bool,
}

impl Climate {
    /// Sets the climate units for a depth.
    pub fn aim(&mut self, look: &mut Look, level: usize, depth_msw: f64) {
        let kit = look.kit;
        let t_k = asked::climate_k(look, depth_msw) + self.moved_k;
        if self.on && (t_k - self.set_k).abs() < 0.5 {
            return;
        }
        for &c in &kit.layout.levels[level].members {
            if kit.scenario.steel.compartments[c.index()].climate.is_some() {
                look.steel(SteelOrder::ClimateSet {
                    compartment: c,
                    t_k,
                    humidity: house_figures::HUMIDITY,
                });
                if !self.on {
                    look.switch(c, Machine::Climate, true);
                }
            }
        }
        self.set_k = t_k;
        self.on = true;
    }

    /// Listens: each who says he is cold or hot moves the set point.
    pub fn listen(&mut self, look: &mut Look, level: usize, depth_msw: f64) {
        let panel = look.panel;
        let members = &look.kit.layout.levels[level].members;
        let mut by_k = 0.0;
        for &(_, diver, spoken) in panel.said() {
            if !matches!(panel.whereabouts(diver), Whereabouts::In(c) if members.contains(&c)) {
                continue;
            }
            match spoken {
                Spoken::Cold => by_k += STEP_K,
                Spoken::Hot => by_k -= STEP_K,
                _ => {}
            }
        }
        if by_k != 0.0 && self.on {
            self.moved_k =
                (self.moved_k + f64::clamp(by_k, -STEP_K, STEP_K)).clamp(-FARTHEST_K, FARTHEST_K);
            self.aim(look, level, depth_msw);
        }
    }
}
