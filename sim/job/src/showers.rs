//! Showers under way: warm water of which a part stays in the gas as vapour, spread evenly over the time
//! the water runs. They come by orders to people, whoever gives them. How much and how long are inputs of the
//! scenario (common practice, no source).

use deepstay_core::units::*;
use deepstay_crew::WATER_KG_MOL;
use deepstay_plant::Plant;
use deepstay_scenario::Plan;
use serde::{Deserialize, Serialize};

/// Showers that run now, each with its compartment and the second at which the water is shut.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(super) struct Showers {
    running: Vec<(CompartmentId, i64)>,
}

impl Showers {
    /// Second at which the next one ends.
    pub fn next_s(&self) -> i64 {
        self.running
            .iter()
            .map(|(_, until_s)| *until_s)
            .min()
            .unwrap_or(i64::MAX)
    }

    /// Somebody's water runs from now on.
    pub fn begin(
        &mut self,
        compartment: CompartmentId,
        now_s: i64,
        plan: &Plan,
        plant: &mut Plant,
    ) {
        self.running.push((compartment, now_s + plan.shower_s));
        self.let_vapour(compartment, now_s, plan, plant);
    }

    /// Shuts the water of showers that are over.
    pub fn end(&mut self, now_s: i64, plan: &Plan, plant: &mut Plant) {
        while let Some(k) = self
            .running
            .iter()
            .position(|(_, until_s)| *until_s <= now_s)
        {
            let (compartment, _) = self.running.remove(k);
            self.let_vapour(compartment, now_s, plan, plant);
        }
    }

    fn let_vapour(&self, compartment: CompartmentId, now_s: i64, plan: &Plan, plant: &mut Plant) {
        let count = self
            .running
            .iter()
            .filter(|(c, _)| *c == compartment)
            .count();
        let mol_s =
            count as f64 * plan.shower_vapour_kg / WATER_KG_MOL / plan.shower_s.max(1) as f64;
        plant.set_evaporating(now_s, compartment, mol_s);
    }
}
