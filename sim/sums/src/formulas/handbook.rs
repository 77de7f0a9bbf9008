//! The handbook's worked sums in its own units. Printed answers are its roundings of these.

use super::breathing_scfm;
use deepstay_core::units::working::{FSW_PER_ATM, PSI_PER_ATM, PSI_PER_FSW};

/// Least pressure at which an emergency supply still delivers, psig: `0.445 D + over-bottom
/// pressure`, raised to the next whole psi.
///
/// US Navy Diving Manual, 15-8, seen: 300 fsw, 185 psi over bottom: 318.5, taken as 319.
pub fn manifold_minimum_psi(depth_fsw: f64, over_bottom_psi: f64) -> f64 {
    (PSI_PER_FSW * depth_fsw + over_bottom_psi).ceil()
}

/// Which of two sums the handbook uses for the gas in a bottle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BottleSum {
    /// `(usable + 14.7)/14.7 x V`: its saturation chapter; over-counts by one bottle volume.
    WithAtmosphere,
    /// `usable/14.7 x V`: its surface-supplied chapter.
    Plain,
}

/// Gas usable from a bottle, scf. `floodable_ft3` is the water volume, pressures in psig.
///
/// US Navy Diving Manual, 15-8 (73.2 scf) and Revision 4, pp. 8-2, 8-3; both seen, and they differ.
pub fn bottle_scf(floodable_ft3: f64, usable_psi: f64, sum: BottleSum) -> f64 {
    let extra = if sum == BottleSum::WithAtmosphere {
        PSI_PER_ATM
    } else {
        0.0
    };
    (usable_psi + extra) / PSI_PER_ATM * floodable_ft3
}

/// How long an emergency supply lasts at a depth, min.
///
/// US Navy Diving Manual, 15-8, seen: 0.399 ft3, 3,000 psig, 300 fsw, 185 psi, 1.4 acfm: 5.18 min.
pub fn emergency_supply_min(
    floodable_ft3: f64,
    fill_psi: f64,
    depth_fsw: f64,
    over_bottom_psi: f64,
    acfm: f64,
    sum: BottleSum,
) -> f64 {
    let usable = (fill_psi - manifold_minimum_psi(depth_fsw, over_bottom_psi)).max(0.0);
    bottle_scf(floodable_ft3, usable, sum) / breathing_scfm(acfm, depth_fsw)
}

/// Time to come up at a rate, min, raised to the next whole minute.
///
/// US Navy Diving Manual, Revision 4, p. 8-3, seen: 190 fsw at 30 ft/min: 6 min 20 s, taken as 7.
pub fn ascent_min(depth_fsw: f64, ft_min: f64) -> f64 {
    (depth_fsw / ft_min).ceil()
}

/// Gas for minutes at the bottom and the way up at its mean depth, scf.
///
/// US Navy Diving Manual, Revision 4, pp. 8-2, 8-3, seen: 28.38 + 38.01 = 66.39 scf.
pub fn bottom_and_ascent_scf(
    acfm: f64,
    depth_fsw: f64,
    bottom_min: f64,
    ascent_min: f64,
) -> (f64, f64) {
    (
        breathing_scfm(acfm, depth_fsw) * bottom_min,
        breathing_scfm(acfm, depth_fsw / 2.0) * ascent_min,
    )
}

/// Least bottle pressure that holds a volume over the least manifold pressure, psig:
/// `scf 14.7/V + least`.
///
/// Same pages, seen: 66.39 scf in 0.399 ft3 over 135 psig: 2,580.95, taken as 2,600.
pub fn supply_minimum_psi(scf: f64, floodable_ft3: f64, least_psi: f64) -> f64 {
    scf * PSI_PER_ATM / floodable_ft3 + least_psi
}

/// Time to let a chamber down through an exhaust of constant actual flow, s:
/// `60 V dP / (R (D + 33))`, depths in fsw, flow in ft3/min.
///
/// US Navy Diving Manual, Revision 4, p. 22-17, seen: 425 ft3, 10 fsw about 165 fsw, 6 acfm: 215 s.
pub fn exhaust_time_s(volume_ft3: f64, change_fsw: f64, mean_fsw: f64, acfm: f64) -> f64 {
    60.0 * volume_ft3 * change_fsw / (acfm * (mean_fsw + FSW_PER_ATM))
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
