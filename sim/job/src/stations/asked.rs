//! The questions the stations ask of the rule set, in one place, and what they do where it has no figure. Each
//! row that answers is noted on the desk.
//! A refusal of a timetable down or up is an answer too: the station stays where it is.

use super::context::Look;
use super::house_figures;
use deepstay_core::units::FreeReference;
use deepstay_rules::{CompressionPlan, DecompressionPlan, OxygenHold};
use deepstay_scenario::Ascent;

/// How to press from a depth to a deeper one, msw.
pub fn compression(look: &mut Look, from_msw: f64, to_msw: f64) -> Option<CompressionPlan> {
    let scenario = &look.kit.scenario;
    let plan = scenario
        .rules
        .press(from_deck(from_msw), to_msw, &scenario.accepted)
        .ok()?;
    look.goes_by(&plan.rows);
    Some(plan)
}

/// How to come up from a depth, msw, leaving at a second.
pub fn decompression(
    look: &mut Look,
    ascent: Ascent,
    from_msw: f64,
    to_msw: f64,
    began_s: i64,
) -> Option<DecompressionPlan> {
    let scenario = &look.kit.scenario;
    let plan = scenario.ascent(ascent, (from_msw, to_msw), began_s)?;
    look.goes_by(&plan.rows);
    Some(plan)
}

/// Oxygen to hold at storage; the house's where the set has none.
pub fn storage_oxygen(look: &mut Look) -> OxygenHold {
    let scenario = &look.kit.scenario;
    let (low_bar, high_bar) = match scenario.rules.storage_oxygen(&scenario.accepted) {
        Ok(o) => {
            look.goes_by([&o.id]);
            (o.low_bar, o.high_bar)
        }
        Err(_) => house_figures::STORAGE_PPO2_BAR,
    };
    OxygenHold::Partial { low_bar, high_bar }
}

/// Temperature to hold in a chamber at a living depth, K. Shallower than the set's table its first row
/// is kept, deeper its last, as a house rule: the divers say when it does not suit them.
pub fn climate_k(look: &mut Look, depth_msw: f64) -> f64 {
    let scenario = &look.kit.scenario;
    let (first, last) = house_figures::CLIMATE_MSW;
    let ask = |depth| scenario.rules.climate(depth, &scenario.accepted);
    match ask(depth_msw).or_else(|_| ask(depth_msw.clamp(first, last))) {
        Ok(band) => {
            look.goes_by(&band.rows);
            band.set_k
        }
        Err(_) => house_figures::CLIMATE_K,
    }
}

/// ppCO2 at which absorbent is changed, bar, and how long it must have stood there, s; none where the set has no
/// such row.
pub fn absorbent_change(look: &mut Look) -> Option<(f64, i64)> {
    let scenario = &look.kit.scenario;
    let change = scenario.rules.absorbent_change(&scenario.accepted).ok()?;
    look.goes_by([&change.id]);
    Some((change.ppco2_bar, change.stood_s))
}

/// Seconds between calibrations: the plan's or the set's, whichever is shorter.
pub fn calibrate_every_s(look: &mut Look) -> i64 {
    let scenario = &look.kit.scenario;
    let planned = scenario.plan.calibrate_every_s;
    match scenario.rules.calibration_every_s(&scenario.accepted) {
        Ok(interval) => {
            look.goes_by([&interval.id]);
            if planned > 0 {
                planned.min(interval.every_s)
            } else {
                interval.every_s
            }
        }
        Err(_) => planned,
    }
}

/// Ear drops a day, and whether divers wash after each dive; the house's where the set has no row.
pub fn hygiene(look: &mut Look) -> (u8, bool) {
    let scenario = &look.kit.scenario;
    let Ok(hygiene) = scenario.rules.hygiene(&scenario.accepted) else {
        return (house_figures::EAR_DROPS_A_DAY, false);
    };
    look.goes_by([&hygiene.id]);
    (hygiene.ear_drops_per_day, hygiene.wash_after_dive)
}

/// Carbon dioxide given off by each person, by which absorbent is sized, mol/s; the house's where the set has no row.
/// A set does not say at what its litres are counted: they are taken at 0 degC and 1 atm, as the house's are.
pub fn co2_sizing_mol_s(look: &mut Look) -> f64 {
    let scenario = &look.kit.scenario;
    let Ok(flow) = scenario.rules.co2_sizing(&scenario.accepted) else {
        return house_figures::CO2_SIZING_MOL_S;
    };
    look.goes_by([&flow.id]);
    flow.m3_s * FreeReference::Stpd.mol_per_m3()
}

/// Longest bell run seal to seal at a depth, s.
pub fn bell_run_s(look: &mut Look, depth_msw: f64) -> i64 {
    let scenario = &look.kit.scenario;
    let asked = scenario.rules.working_time(depth_msw, &scenario.accepted);
    let Some(longest_s) = asked.as_ref().ok().and_then(|w| w.bell_run_s) else {
        return house_figures::bell::LONGEST_S;
    };
    look.goes_by(asked.iter().flat_map(|w| &w.bell_run_by).map(|row| &row.id));
    longest_s
}

/// A gauge that shows next to nothing at the surface means the surface: from there the rules have their
/// leak check.
fn from_deck(from_msw: f64) -> f64 {
    if from_msw < 1.0 { 0.0 } else { from_msw }
}
