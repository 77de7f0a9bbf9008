//! The questions the stations ask of the rule set, in one place, and what they do where it has no figure.
//! A refusal of a timetable down or up is an answer too: the station stays where it is.

use super::decompress::Ascent;
use super::house_figures;
use deepstay_rules::{CompressionPlan, DecompressionPlan, OxygenHold, StorageChange};
use deepstay_scenario::Scenario;

/// How to press from a depth to a deeper one, msw.
pub fn compression(scenario: &Scenario, from_msw: f64, to_msw: f64) -> Option<CompressionPlan> {
    scenario
        .rules
        .press(from_deck(from_msw), to_msw, &scenario.accepted)
        .ok()
}

/// How to come up from a depth, msw, leaving at a second of the ship's day.
pub fn decompression(
    scenario: &Scenario,
    ascent: Ascent,
    from_msw: f64,
    to_msw: f64,
    second_of_day: i64,
) -> Option<DecompressionPlan> {
    let (rules, accepted) = (&scenario.rules, &scenario.accepted);
    match ascent {
        Ascent::Planned => rules.decompression(from_msw, second_of_day, accepted).ok(),
        Ascent::Change => match rules.change_storage(from_msw, to_msw, second_of_day, accepted) {
            Ok(StorageChange::Bleed(plan)) => Some(plan),
            _ => None,
        },
        Ascent::StillPressing => rules
            .abort_compression(from_msw, second_of_day, accepted)
            .ok(),
        Ascent::Emergency => rules
            .emergency_decompression(from_msw, second_of_day, accepted)
            .or_else(|_| rules.decompression(from_msw, second_of_day, accepted))
            .ok(),
    }
}

/// Oxygen to hold at storage; the house's where the set has none.
pub fn storage_oxygen(scenario: &Scenario) -> OxygenHold {
    match scenario.rules.storage_oxygen(&scenario.accepted) {
        Ok(o) => OxygenHold::Partial {
            low_bar: o.low_bar,
            high_bar: o.high_bar,
        },
        Err(_) => {
            let (low_bar, high_bar) = house_figures::STORAGE_PPO2_BAR;
            OxygenHold::Partial { low_bar, high_bar }
        }
    }
}

/// Temperature to hold in a chamber at a living depth, K. Shallower than the set's table its first row
/// is kept, deeper its last, as a house rule: the divers say when it does not suit them.
pub fn climate_k(scenario: &Scenario, depth_msw: f64) -> f64 {
    let (first, last) = house_figures::CLIMATE_MSW;
    let ask = |depth| {
        scenario
            .rules
            .climate(depth, &scenario.accepted)
            .map(|band| band.set_k)
    };
    ask(depth_msw)
        .or_else(|_| ask(depth_msw.clamp(first, last)))
        .unwrap_or(house_figures::CLIMATE_K)
}

/// ppCO2 at which absorbent is changed, bar, and how long it must have stood there, s.
pub fn absorbent_change(scenario: &Scenario) -> (f64, i64) {
    let asked = scenario.rules.absorbent_change(&scenario.accepted);
    asked.map_or(house_figures::ABSORBENT_CHANGE, |a| {
        (a.ppco2_bar, a.stood_s)
    })
}

/// Seconds between calibrations: the plan's or the set's, whichever is shorter.
pub fn calibrate_every_s(scenario: &Scenario) -> i64 {
    let planned = scenario.plan.calibrate_every_s;
    let asked = scenario.rules.calibration_every_s(&scenario.accepted);
    asked.map_or(planned, |i| {
        if planned > 0 {
            planned.min(i.every_s)
        } else {
            i.every_s
        }
    })
}

/// Longest bell run seal to seal at a depth, s.
pub fn bell_run_s(scenario: &Scenario, depth_msw: f64) -> i64 {
    let asked = scenario.rules.working_time(depth_msw, &scenario.accepted);
    asked
        .ok()
        .and_then(|w| w.bell_run_s)
        .unwrap_or(house_figures::bell::LONGEST_S)
}

/// A gauge that shows next to nothing at the surface means the surface: from there the rules have their
/// leak check.
fn from_deck(from_msw: f64) -> f64 {
    if from_msw < 1.0 { 0.0 } else { from_msw }
}
