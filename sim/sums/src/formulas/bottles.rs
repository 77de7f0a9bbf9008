//! Sums of the watch about bottles and divers, in the convention of the published school exercises:
//! gauge bar times floodable volume, no bar added, 10 msw = 1 bar. A real-gas sum differs by design.

use deepstay_core::gas::{Amounts, state::total_moles};
use deepstay_core::units::BAR_PA;

/// Free gas in bottles between two gauge pressures, m3: number x litres x (from - to) / 1000.
pub fn bottles_m3(bottles: f64, litres: f64, from_bar: f64, to_bar: f64) -> f64 {
    bottles * litres * (from_bar - to_bar) * 1e-3
}

/// The same of a bank's whole floodable volume, m3, and gauge pressures in Pa; nothing where it stands below.
pub fn bank_m3(volume_m3: f64, from_pa: f64, to_pa: f64) -> f64 {
    bottles_m3(1.0, volume_m3 * 1e3, from_pa / BAR_PA, to_pa / BAR_PA).max(0.0)
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

/// What is left in a quad that is rated at a full pressure: `rated p/p_full`; by the real gas densities stand for pressures.
pub fn part_full(rated: f64, full: f64, now: f64) -> f64 {
    rated * now / full
}

/// What a gauge referenced to the atmosphere must read for a supply set over ambient, and at which gauge pressure such a
/// supply ends (its heel): `p_over + D`, both in one unit of pressure.
///
/// Safety flash on a diver's lost gas, seen: bell at 85 msw, set 12 bar over ambient, reads 20.5 bar.
pub fn sealed_gauge(over_ambient: f64, depth_as_gauge: f64) -> f64 {
    over_ambient + depth_as_gauge
}
