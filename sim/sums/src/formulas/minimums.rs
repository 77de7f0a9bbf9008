//! Minimums that documents set for gas to be held, in msw by the school convention, m3, L/min and s. The figures of a
//! document stand in its rule set; here is what is done with them.

use super::{SIZING_L_MIN, bottles_m3, breathed, gas_for_rise, lasts, leaked, school_bar, used};

/// Gas that presses a volume from the surface to a depth, m3: `V D/10`.
///
/// Boyle's law, derived. `volume_m3` is geometric.
pub fn press_m3(volume_m3: f64, depth_msw: f64) -> f64 {
    gas_for_rise(volume_m3, depth_msw / 10.0)
}

/// Gas to press a chamber anew so many times, m3: `k V D/10`.
///
/// Canada, SOR/88-600, s. 22(1)(a)(iii)(D), seen: emergency gas for a surface chamber is twice what presses it to the
/// deepest depth of use.
pub fn press_again_m3(times: f64, volume_m3: f64, depth_msw: f64) -> f64 {
    times * press_m3(volume_m3, depth_msw)
}

/// Gas that people breathe at a depth, m3: `N q P t`. The flow is the caller's, L/min at depth.
///
/// Boyle's law, derived. It is the gas for masks (AODC 014, July 1983, opening seen), the open-circuit gas that must stand
/// ready while reclaim is in use (Canada, SOR/88-600, s. 21, seen) and, at the surface, that of escape sets.
pub fn breathed_m3(people: f64, l_min: f64, depth_msw: f64, time_s: f64) -> f64 {
    breathed(people, l_min * 1e-3, school_bar(depth_msw), time_s / 60.0)
}

/// Flow of free gas that breathing at a depth takes, L/min: `q P`.
///
/// Boyle's law, derived.
pub fn supply_l_min(l_min: f64, depth_msw: f64) -> f64 {
    breathed(1.0, l_min, school_bar(depth_msw), 1.0)
}

/// Gas that a vessel leaks at a depth, m3: `k V P t`, where `share_per_day` of its gas goes in a day.
///
/// Derived. The share is the caller's: no measurement is public.
pub fn leak_m3(volume_m3: f64, depth_msw: f64, share_per_day: f64, time_s: f64) -> f64 {
    leaked(
        volume_m3,
        school_bar(depth_msw),
        share_per_day,
        time_s / 86_400.0,
    )
}

/// Gas lost with one run of a lock, m3: `V D/10`, unless it is recovered.
///
/// Boyle's law, derived. `volume_m3` is the lock's geometric volume.
pub fn lock_cycle_m3(volume_m3: f64, depth_msw: f64) -> f64 {
    press_m3(volume_m3, depth_msw)
}

/// How long a bell must keep its people after its umbilical is severed, s, where it can be retrieved by other means: a
/// time to begin with and so many retrievals.
///
/// 46 CFR 197.330(a)(8), seen: 1 h and twice the retrieval.
pub fn severed_s(begin_s: f64, retrievals: f64, retrieval_s: f64) -> f64 {
    begin_s + retrievals * retrieval_s
}

/// How long a bail-out bottle lasts, s: `V (p_fill - P - p_reg) / (q P)` minutes.
///
/// Brazil, NORMAM-222 of January 2025, seen (surface-supplied section): 40 L/min, the fill less
/// depth and the regulator's working pressure. Bottle in L, pressures in bar, breathing in L/min at depth.
pub fn bail_out_s(
    bottle_l: f64,
    fill_bar: f64,
    regulator_bar: f64,
    depth_msw: f64,
    l_min: f64,
) -> f64 {
    let least_bar = school_bar(depth_msw) + regulator_bar;
    let gas_m3 = bottles_m3(1.0, bottle_l, fill_bar, least_bar).max(0.0);
    lasts(gas_m3, breathed_m3(1.0, l_min, depth_msw, 1.0))
}

/// Longest umbilical that a bail-out covers, m, at so many metres a minute back along it.
///
/// Brazil, NORMAM-222 of January 2025, seen (10 m/min); the algebra is derived.
pub fn bail_out_umbilical_m(return_m_min: f64, bail_out_s: f64) -> f64 {
    return_m_min * bail_out_s / 60.0
}

/// Oxygen that people take up, or carbon dioxide that they give off, m3: `N q t`, the flow in L/min of free gas.
pub fn metabolic_m3(people: f64, l_min: f64, time_s: f64) -> f64 {
    used(people, l_min * 1e-3, time_s / 60.0)
}

/// The same at the sizing rate of 30 L/h = 0.5 L/min each. A model that simulates uses measured rates instead.
///
/// France, order of 30 October 2012, art. 33, seen. The bell's 24 h make 0.72 m3, an evacuation
/// unit's 72 h 2.16 m3 a person.
pub fn person_sizing_m3(people: f64, time_s: f64) -> f64 {
    metabolic_m3(people, SIZING_L_MIN, time_s)
}

/// Absorbent for people over a time, kg: `N q t/c`, at a carbon dioxide of so many L/min of free gas a person and a
/// capacity in L of it per kg (measured 44 to 153 by grade and flow; a named input). Derived.
pub fn absorbent_kg(people: f64, l_min: f64, time_s: f64, capacity_l_kg: f64) -> f64 {
    metabolic_m3(people, l_min, time_s) / (capacity_l_kg * 1e-3)
}

/// How long a mass of absorbent lasts people, s: `M c/(N q)`, the inverse of [`absorbent_kg`].
pub fn absorbent_lasts_s(kg: f64, people: f64, l_min: f64, capacity_l_kg: f64) -> f64 {
    lasts(kg, absorbent_kg(people, l_min, 1.0, capacity_l_kg))
}
