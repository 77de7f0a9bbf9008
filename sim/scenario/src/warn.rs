//! What a scenario that can be run still has to say: fills at which the gas model is extrapolated, and a value of
//! the plan that a rule overrides. The model was fitted between 273 and 323 K and up to 250 bar
//! ([`deepstay_core::gas::state`]).

use super::Scenario;
use deepstay_core::gas::{Species, state};
use deepstay_core::units::span;

/// Fills that are not what their label says, a sentence each: what the author of a file should mean, and what
/// nobody on board knows.
pub fn hidden_fills(scenario: &Scenario) -> Vec<String> {
    /// What an analysis does not tell apart.
    const ALIKE: f64 = 0.005;
    let banks = scenario.steel.banks.iter();
    let hidden = banks.filter_map(|b| {
        let (holds, says) = (b.true_mix[Species::O2], b.label_o2);
        let off = (holds - says).abs() > ALIKE;
        off.then(|| {
            format!(
                "bank {} holds {:.1} % oxygen and its label says {:.1} %: nobody on board knows it, and whoever breathes it may die",
                b.name,
                holds * 100.0,
                says * 100.0
            )
        })
    });
    hidden.collect()
}

/// Warnings, a sentence each; none for most scenarios.
pub fn warnings(scenario: &Scenario) -> Vec<String> {
    let steel = &scenario.steel;
    let fills = steel.banks.iter().filter_map(|b| {
        let outside = state::warning(b.fill_gauge_pa + steel.surface_pa, b.t_k)?;
        Some(format!("bank {}: {outside}", b.name))
    });
    fills.chain(overridden(scenario)).collect()
}

/// A value of the plan that a rule takes the place of.
fn overridden(scenario: &Scenario) -> Option<String> {
    let interval = scenario
        .rules
        .calibration_every_s(&scenario.accepted)
        .ok()?;
    let planned_s = scenario.plan.calibrate_every_s;
    (planned_s > interval.every_s).then(|| {
        format!(
            "the plan's calibrate_every of {} is longer than {} allows: analysers are calibrated every {}",
            span(planned_s),
            interval.id,
            span(interval.every_s)
        )
    })
}
