//! The handbook's worked sums. Printed answers are its roundings of these.

use super::{breathed, sealed_gauge};
use deepstay_core::units::working::PSI_PER_FSW;

/// Least pressure at which an emergency supply still delivers, psig: `0.445 D + over-bottom
/// pressure`, raised to the next whole psi.
///
/// US Navy Diving Manual, 15-8, seen: 300 fsw, 185 psi over bottom: 318.5, taken as 319.
pub fn manifold_minimum_psi(depth_fsw: f64, over_bottom_psi: f64) -> f64 {
    sealed_gauge(over_bottom_psi, PSI_PER_FSW * depth_fsw).ceil()
}

/// Gas for a time at depth and the way up at its mean depth: `q P t + q P_mean t_ascent`.
///
/// US Navy Diving Manual, Revision 4, pp. 8-2, 8-3, seen: 28.38 + 38.01 = 66.39 scf.
pub fn bottom_and_ascent(
    flow: f64,
    (absolute, mean_absolute): (f64, f64),
    (bottom, ascent): (f64, f64),
) -> (f64, f64) {
    (
        breathed(1.0, flow, absolute, bottom),
        breathed(1.0, flow, mean_absolute, ascent),
    )
}

/// Least bottle pressure that holds free gas over a least pressure: `gas a/V + least`, with `a` what the gauge's unit has
/// to the atmosphere that free gas is counted in (14.7 psi, 1 bar).
///
/// Same pages, seen: 66.39 scf in 0.399 ft3 over 135 psig: 2,580.95, taken as 2,600.
pub fn supply_minimum(gas: f64, floodable: f64, least: f64, atmosphere: f64) -> f64 {
    gas * atmosphere / floodable + least
}

/// Primary air of a treatment chamber, scf: inner lock once and outer lock twice to 165 fsw, and the
/// ventilation of the longest treatment: `5 Vil + 10 Vol + 45,390`.
///
/// US Navy Diving Manual, 22-4, seen.
pub fn chamber_primary_air_scf(inner_ft3: f64, outer_ft3: f64) -> f64 {
    5.0 * inner_ft3 + 10.0 * outer_ft3 + 45_390.0
}

/// Secondary air of a treatment chamber, scf: both locks once and one hour at 70.4 scfm.
///
/// US Navy Diving Manual, 22-4: the rate is seen, the sum `5 Vil + 5 Vol + 4,224` derived.
pub fn chamber_secondary_air_scf(inner_ft3: f64, outer_ft3: f64) -> f64 {
    5.0 * inner_ft3 + 5.0 * outer_ft3 + 70.4 * 60.0
}
