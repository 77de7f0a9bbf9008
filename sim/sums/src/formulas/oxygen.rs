//! Oxygen by partial pressure and by volume: where one takes over from the other, which gas may be
//! breathed where, and what a decompression needs.

use super::{handbook_ata, pp_after_ascent, ppo2_after_pressing};
use deepstay_core::units::{ATM_PA, MSW_PA};

/// Oxygen to hold a chamber at one partial pressure while it is bled, m3:
/// `V p ln((P1 - p)/(P2 - p)) + N m t`.
///
/// Derived: a mixed chamber whose carbon dioxide is absorbed and which does not leak loses the share
/// `p/P` of all gas bled. `volume_m3` geometric; pressures in bar absolute, `from_bar` deeper;
/// `people_m3_h` is what all together take an hour. Where the share by volume is held instead, the
/// bled oxygen needs no make-up, and only the second term remains. Infinite where `to_bar` is at or
/// under the partial pressure itself.
pub fn decompression_oxygen_m3(
    volume_m3: f64,
    ppo2_bar: f64,
    from_bar: f64,
    to_bar: f64,
    people_m3_h: f64,
    hours: f64,
) -> f64 {
    let bled = if to_bar <= ppo2_bar {
        f64::INFINITY
    } else {
        volume_m3 * ppo2_bar * libm::log((from_bar - ppo2_bar) / (to_bar - ppo2_bar))
    };
    bled + people_m3_h * hours
}

/// Depth at which a partial pressure is a share by volume, msw: `10 (p/f - 1)`.
///
/// Dalton's law by the school convention, derived; PMC9767825, Table 8 prints 16, 20 and 25 msw for
/// 60, 70 and 80 kPa at 23 %.
pub fn switch_depth_msw(ppo2_bar: f64, share: f64) -> f64 {
    10.0 * (ppo2_bar / share - 1.0)
}

/// Depth above which a chamber is in the fire zone, fsw: `33 p/f - 33`.
///
/// US Navy Diving Manual, 15-17, seen: the zone is 6 % of oxygen by volume or more; at 0.48 ata that
/// is shallower than 231 fsw.
pub fn fire_zone_depth_fsw(ppo2_ata: f64, share: f64) -> f64 {
    ppo2_ata * 33.0 / share - 33.0
}

/// Oxygen between which a gas may serve in an emergency, ata: no range to work in.
///
/// US Navy Diving Manual, 15-15 and 15-22, seen in a copy of an older edition that does not say which.
pub const EMERGENCY_PPO2_ATA: (f64, f64) = (0.16, 1.25);

/// Depths between which a gas may serve as emergency gas, fsw: 0.16 to 1.25 ata of oxygen, the
/// shallow end no less than the surface.
///
/// US Navy Diving Manual, 15-15, seen: 16 % from 0 to 224 fsw, 4 % from 99 to 998 fsw (both cut to
/// whole feet).
pub fn emergency_gas_window_fsw(share: f64) -> (f64, f64) {
    (
        fire_zone_depth_fsw(EMERGENCY_PPO2_ATA.0, share).max(0.0),
        fire_zone_depth_fsw(EMERGENCY_PPO2_ATA.1, share),
    )
}

/// Depths between which a share of oxygen is breathable, msw; the shallow end no less than the surface, and no
/// end where there is no oxygen: `(p/f - p_surface)` over 10 kPa a metre, the atmosphere exact.
///
/// Limits as in [`emergency_gas_window_fsw`], in metres and over the true pressure at the surface.
pub fn breathable_msw(share: f64, surface_pa: f64) -> (f64, f64) {
    let depth = |pa: f64| (pa / share - surface_pa) / MSW_PA;
    match share > 0.0 {
        true => (
            depth(EMERGENCY_PPO2_ATA.0 * ATM_PA).max(0.0),
            depth(EMERGENCY_PPO2_ATA.1 * ATM_PA),
        ),
        false => (f64::INFINITY, f64::INFINITY),
    }
}

/// Share of oxygen that gives a partial pressure at a depth: `p / ata`.
///
/// Dalton's law (US Navy Diving Manual, 12-5 and 15-8).
pub fn share_for(ppo2_ata: f64, depth_fsw: f64) -> f64 {
    ppo2_ata / handbook_ata(depth_fsw)
}

/// Oxygen partial pressure after pressing from one depth with a mix, bar, by the school convention:
/// what was there plus the share of what was added. Derived.
pub fn ppo2_after_pressing_bar(ppo2_bar: f64, mix_share: f64, from_msw: f64, to_msw: f64) -> f64 {
    ppo2_after_pressing(ppo2_bar, mix_share, (to_msw - from_msw) / 10.0)
}

/// Oxygen partial pressure after coming up with nothing added, in ata by the handbook's foot. Derived.
pub fn ppo2_after_ascent_ata(ppo2_ata: f64, from_fsw: f64, to_fsw: f64) -> f64 {
    pp_after_ascent(ppo2_ata, handbook_ata(from_fsw), handbook_ata(to_fsw))
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
