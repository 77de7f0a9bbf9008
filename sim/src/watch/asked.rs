//! The questions the seats ask of the rule set, in one place, and what they do with a refusal: they
//! stay where they are. A scenario is checked before it runs, so a refusal here means that the job
//! has been driven to a depth its rules do not reach.

use crate::record::Phase;
use crate::rules::{CompressionPlan, DecompressionPlan, OxygenHold};
use crate::scenario::Scenario;

/// How to press from one depth to a deeper one, msw.
pub fn compression(scenario: &Scenario, from_msw: f64, to_msw: f64) -> Option<CompressionPlan> {
    scenario.rules.press(from_msw.max(0.0), to_msw, &scenario.accepted).ok()
}

/// How to come up from a depth, leaving at a second of the ship's day.
pub fn decompression(scenario: &Scenario, from_msw: f64, second_of_day: i64) -> Option<DecompressionPlan> {
    scenario.rules.decompression(from_msw, second_of_day, &scenario.accepted).ok()
}

/// How to come up to a shallower storage depth.
pub fn to_shallower(
    scenario: &Scenario,
    from_msw: f64,
    to_msw: f64,
    second_of_day: i64,
) -> Option<DecompressionPlan> {
    match scenario.rules.change_storage(from_msw, to_msw, second_of_day, &scenario.accepted) {
        Ok(crate::rules::StorageChange::Bleed(plan)) => Some(plan),
        _ => None,
    }
}

/// How to come up when the job is broken off: by the set's own way back from a pressing broken off, or
/// in need by its emergency table, or else by its normal way.
pub fn abort(scenario: &Scenario, from_msw: f64, second_of_day: i64) -> Option<DecompressionPlan> {
    let (rules, accepted) = (&scenario.rules, &scenario.accepted);
    rules
        .emergency_decompression(from_msw, second_of_day, accepted)
        .or_else(|_| rules.abort_compression(from_msw, second_of_day, accepted))
        .ok()
}

/// Oxygen to hold at storage; normoxic where the set is silent.
pub fn storage_oxygen(scenario: &Scenario) -> OxygenHold {
    match scenario.rules.storage_oxygen(&scenario.accepted) {
        Ok(row) => OxygenHold::Partial { low_bar: row.low_bar, high_bar: row.high_bar },
        Err(_) => OxygenHold::Partial { low_bar: 0.21, high_bar: 0.22 },
    }
}

/// Temperature band of a chamber at a living depth, K; outside every table the nearest printed end is
/// all there is to go by.
pub fn climate_k(scenario: &Scenario, depth_msw: f64) -> (f64, f64) {
    let ask = |d: f64| scenario.rules.climate(d, &scenario.accepted).map(|c| (c.low_k, c.high_k));
    ask(depth_msw)
        .or_else(|_| ask(if depth_msw < SHALLOWEST_TABLE_MSW { SHALLOWEST_TABLE_MSW } else { DEEPEST_TABLE_MSW }))
        .unwrap_or((NO_TABLE_K - 1.0, NO_TABLE_K + 1.0))
}

/// Relative humidity band, 0 to 1, where the set has one.
pub fn humidity(scenario: &Scenario, depth_msw: f64) -> Option<(f64, f64)> {
    scenario.rules.climate(depth_msw, &scenario.accepted).ok().and_then(|c| c.humidity)
}

/// Ends of the printed climate table, msw (French order of 30 Oct 2012, art. 33).
const SHALLOWEST_TABLE_MSW: f64 = 50.0;
const DEEPEST_TABLE_MSW: f64 = 200.0;
/// Where no set says anything: 27 degC (house rule).
const NO_TABLE_K: f64 = 300.15;

/// ppCO2 at which absorbent is changed, bar, and how long it must have stood there, s.
pub fn absorbent_change(scenario: &Scenario) -> (f64, i64) {
    scenario
        .rules
        .absorbent_change(&scenario.accepted)
        .map_or((f64::INFINITY, i64::MAX), |row| (row.ppco2_bar, row.stood_s))
}

/// Seconds between calibrations.
pub fn calibrate_every_s(scenario: &Scenario) -> i64 {
    scenario.plan.calibrate_every_s
}

/// Longest bell run seal to seal at a depth, s; the scenario's own where the set is silent.
pub fn bell_run_s(scenario: &Scenario, depth_msw: f64) -> i64 {
    scenario
        .rules
        .working_time(depth_msw, &scenario.accepted)
        .ok()
        .and_then(|w| w.bell_run_s)
        .unwrap_or(LONGEST_RUN_S)
}

/// Bell run where no rule says otherwise: eight hours (common practice, no source).
const LONGEST_RUN_S: i64 = 8 * 3600;

/// Whether a phase is one in which bell runs may be made.
pub fn runs_in(phase: Phase) -> bool {
    phase == Phase::Storage
}
