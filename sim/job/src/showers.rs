//! Showers under way: warm water of which a part stays in the gas as vapour, spread evenly over the time
//! the water runs. How much and how long are inputs of the scenario (common practice, no source).

use super::run::Job;
use deepstay_core::record::{Routine, What};
use deepstay_core::units::*;
use deepstay_crew::WATER_KG_MOL;
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
}

impl Job {
    /// Starts the water when the routine says that somebody showers.
    pub(super) fn hear_shower(&mut self, what: &What) {
        if let What::Routine {
            compartment,
            routine: Routine::Shower,
            ..
        } = *what
        {
            self.showers
                .running
                .push((compartment, self.now_s + self.scenario.plan.shower_s));
            self.let_vapour(compartment);
        }
    }

    /// Shuts the water of showers that are over.
    pub(super) fn end_showers(&mut self) {
        while let Some(k) = self
            .showers
            .running
            .iter()
            .position(|(_, until_s)| *until_s <= self.now_s)
        {
            let (compartment, _) = self.showers.running.remove(k);
            self.let_vapour(compartment);
        }
    }

    fn let_vapour(&mut self, compartment: CompartmentId) {
        let plan = &self.scenario.plan;
        let count = self
            .showers
            .running
            .iter()
            .filter(|(c, _)| *c == compartment)
            .count();
        let mol_s =
            count as f64 * plan.shower_vapour_kg / WATER_KG_MOL / plan.shower_s.max(1) as f64;
        self.plant.set_evaporating(self.now_s, compartment, mol_s);
    }
}
