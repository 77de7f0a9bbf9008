//! What a scenario that can be run still has to say: fills at which the gas model is extrapolated. The
//! model was fitted between 273 and 323 K and up to 250 bar ([`deepstay_core::gas::state`]).

use super::Scenario;
use deepstay_core::gas::state;

/// Warnings, a sentence each; none for most scenarios.
pub fn warnings(scenario: &Scenario) -> Vec<String> {
    let steel = &scenario.steel;
    let fills = steel.banks.iter().filter_map(|b| {
        let outside = state::warning(b.fill_gauge_pa + steel.surface_pa, b.t_k)?;
        Some(format!("bank {}: {outside}", b.name))
    });
    fills.collect()
}
