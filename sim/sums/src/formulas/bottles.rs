//! Sums of the watch about bottles and divers, in the convention of the published school exercises:
//! gauge bar times floodable volume, no bar added, 10 msw = 1 bar. A real-gas sum differs by design.

use deepstay_core::gas::{Amounts, state::total_moles};
use deepstay_core::units::BAR_PA;

use super::{WORKING_ACFM, WORKING_L_MIN, breathed_m3, breathing_scfm, school_bar};

/// Free gas in bottles between two gauge pressures, m3: number x litres x (from - to) / 1000.
pub fn bottles_m3(bottles: f64, litres: f64, from_bar: f64, to_bar: f64) -> f64 {
    bottles * litres * (from_bar - to_bar) * 1e-3
}

/// The same of a bank's whole floodable volume, m3, and gauge pressures in Pa; nothing where it stands below.
pub fn bank_m3(volume_m3: f64, from_pa: f64, to_pa: f64) -> f64 {
    volume_m3 * (from_pa - to_pa).max(0.0) / BAR_PA
}

/// What a bank yields between two gauge pressures by the real gas, mol; nothing where it stands below. The mix need not
/// add up to one.
///
/// The density virial of [`deepstay_core::gas::state`], fitted to reference equations of state (derived).
pub fn drawn_mol(
    mix: &Amounts,
    volume_m3: f64,
    t_k: f64,
    from_pa: f64,
    to_pa: f64,
    surface_pa: f64,
) -> f64 {
    if from_pa <= to_pa {
        return 0.0;
    }
    let at = |gauge: f64| total_moles(mix, gauge + surface_pa, volume_m3, t_k);
    at(from_pa) - at(to_pa)
}

/// Gas that working divers breathe, m3: N x 35 L/min x (1 + D/10) x t.
pub fn diver_gas_m3(divers: f64, depth_msw: f64, time_s: f64) -> f64 {
    breathed_m3(divers, WORKING_L_MIN, depth_msw, time_s)
}

/// How long a volume of gas lasts working divers at a depth, s: the inverse of [`diver_gas_m3`].
pub fn diver_gas_lasts_s(gas_m3: f64, divers: f64, depth_msw: f64) -> f64 {
    gas_m3 / diver_gas_m3(divers, depth_msw, 1.0)
}

/// The same in feet: N x 1.25 ft3/min x ata x minutes, ft3.
pub fn diver_gas_ft3(divers: f64, depth_fsw: f64, minutes: f64) -> f64 {
    divers * breathing_scfm(WORKING_ACFM, depth_fsw) * minutes
}

/// Usable gas of a bail-out bottle, m3: V (p_fill - P - 10 bar), 10 bar being the regulator's.
pub fn bail_out_m3(bottle_l: f64, fill_bar: f64, depth_msw: f64) -> f64 {
    bottle_l * (fill_bar - school_bar(depth_msw) - 10.0) * 1e-3
}

/// What is left in a bank rated in ft3 at a full pressure, ft3.
pub fn part_full_ft3(rated_ft3: f64, full_psi: f64, now_psi: f64) -> f64 {
    rated_ft3 * now_psi / full_psi
}

/// What a gauge referenced to the atmosphere must read for a supply set over ambient, bar.
///
/// Safety flash on a diver's lost gas, seen: bell at 85 msw, set 12 bar over ambient, reads 20.5 bar.
pub fn sealed_gauge_bar(over_ambient_bar: f64, depth_msw: f64) -> f64 {
    over_ambient_bar + depth_msw / 10.0
}
