//! Oxygen by partial pressure and by volume: where one takes over from the other, which gas may be
//! breathed where, and what a decompression needs.

use super::handbook_fsw;
use deepstay_core::units::{ATM_PA, MSW_PA};

/// Oxygen to hold a chamber at one partial pressure while it is bled, beside what people use, m3:
/// `V p ln((P1 - p)/(P2 - p))`.
///
/// Derived: a mixed chamber whose carbon dioxide is absorbed and which does not leak loses the share
/// `p/P` of all gas bled. `volume_m3` geometric; pressures in bar absolute, `from_bar` deeper. Where the share by volume
/// is held instead, the bled oxygen needs no make-up. Infinite where `to_bar` is at or under the partial pressure itself.
pub fn decompression_oxygen_m3(volume_m3: f64, ppo2_bar: f64, from_bar: f64, to_bar: f64) -> f64 {
    if to_bar <= ppo2_bar {
        f64::INFINITY
    } else {
        volume_m3 * ppo2_bar * libm::log((from_bar - ppo2_bar) / (to_bar - ppo2_bar))
    }
}

/// Oxygen between which a gas may serve in an emergency, ata: no range to work in.
///
/// US Navy Diving Manual, 15-15 and 15-22, seen in a copy of an older edition that does not say which.
pub const EMERGENCY_PPO2_ATA: (f64, f64) = (0.16, 1.25);

/// Absolute pressure at which a partial pressure is a share of the gas: `p/f`.
///
/// Dalton's law, derived: PMC9767825, Table 8, prints 16, 20 and 25 msw for 60, 70 and 80 kPa at 23 %; US Navy Diving
/// Manual, 15-17 (seen), that at 0.48 ata and 6 % the fire zone begins at 231 fsw.
pub fn absolute_of_share(partial: f64, share: f64) -> f64 {
    partial / share
}

/// Share of oxygen from which a chamber is in the fire zone (US Navy Diving Manual, 15-17; seen).
pub const FIRE_ZONE_SHARE: f64 = 0.06;

/// Absolute pressure at which pressing with a mix brings the oxygen to a share: `(p - f P)/(s - f)`.
///
/// Dalton's law, derived. No number where the mix has that share itself.
pub fn absolute_at_share(ppo2: f64, absolute: f64, mix_share: f64, share: f64) -> f64 {
    (ppo2 - mix_share * absolute) / (share - mix_share)
}

/// Depths between which a share of oxygen lies between two partial pressures, the shallow end no less than the surface;
/// `depth_at` is the depth of an absolute pressure. No end where there is no oxygen.
///
/// US Navy Diving Manual, 15-15, seen: 16 % from 0 to 224 fsw, 4 % from 99 to 998 fsw (both cut to
/// whole feet).
pub fn depth_window(
    share: f64,
    (low, high): (f64, f64),
    depth_at: impl Fn(f64) -> f64,
) -> (f64, f64) {
    let depth = |partial: f64| depth_at(absolute_of_share(partial, share));
    (depth(low).max(0.0), depth(high))
}

/// Carbon dioxide above which masks are put on, ata (US Navy Diving Manual, 15-22; seen).
pub const MASKS_PPCO2_ATA: f64 = 0.06;

/// Depths between which a gas may serve as emergency gas, fsw, by the handbook's foot.
pub fn emergency_gas_window_fsw(share: f64) -> (f64, f64) {
    depth_window(share, EMERGENCY_PPO2_ATA, handbook_fsw)
}

/// The same in msw over the true pressure at the surface, the atmosphere exact.
pub fn breathable_msw(share: f64, surface_pa: f64) -> (f64, f64) {
    let depth = |ata: f64| (ata * ATM_PA - surface_pa) / MSW_PA;
    depth_window(share, EMERGENCY_PPO2_ATA, depth)
}

/// Carbon dioxide as percent surface equivalent: 100 times its partial pressure in ata.
///
/// US Navy Diving Manual, 15-14, seen: 0.005 ata = 0.5 % = 3.8 mmHg.
pub fn surface_equivalent_percent(ppco2_ata: f64) -> f64 {
    100.0 * ppco2_ata
}

/// A partial pressure in mmHg: 760 times its value in ata (same source).
pub fn mm_hg(pp_ata: f64) -> f64 {
    760.0 * pp_ata
}
