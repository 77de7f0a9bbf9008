//! Minimums that documents set for gas to be held.

use super::{BAIL_OUT_L_MIN, LEAST_SUPPLY_L_MIN, SIZING_L_MIN, metabolic_m3, school_bar};

/// Gas to press a chamber anew, twice: `2 V D/10`, m3 free gas.
///
/// Canada, SOR/88-600, s. 22(1)(a)(iii)(D), seen: emergency gas for a surface chamber is twice what
/// presses it to the deepest depth of use. `volume_m3` is the geometric volume.
pub fn chamber_emergency_m3(volume_m3: f64, depth_msw: f64) -> f64 {
    2.0 * press_m3(volume_m3, depth_msw)
}

/// How long a bell must keep its people without the surface, s: 24 h.
///
/// Canada, SOR/88-600, s. 14(c) and s. 22(1)(a)(iii)(A), seen; a classification society asks 24 h
/// beyond the planned dive. [`bell_survival_severed_s`] is another regime's figure.
pub fn bell_survival_s() -> i64 {
    24 * 3600
}

/// How long a bell must keep its people after its umbilical is severed, s: 12 h where the umbilical
/// is the only means of retrieval, else 1 h plus twice the retrieval time.
///
/// 46 CFR 197.330(a)(8), seen. It conflicts with the 24 h of [`bell_survival_s`]; a set picks one.
pub fn bell_survival_severed_s(retrieval_s: Option<i64>) -> i64 {
    retrieval_s.map_or(12 * 3600, |t| 3600 + 2 * t)
}

/// Open-circuit gas that must stand ready while reclaim is in use, m3: `N q P t`.
///
/// Canada, SOR/88-600, s. 21 and s. 22(1)(a)(iii)(C), seen: enough to go on, interrupt or stop safely.
pub fn reclaim_bypass_m3(divers_in_water: f64, l_min: f64, depth_msw: f64, recover_s: f64) -> f64 {
    breathed_m3(divers_in_water, l_min, depth_msw, recover_s)
}

/// Gas for masks, m3: `N q P` over four hours, on top of other reserves.
///
/// AODC 014 (July 1983), opening seen. The flow on a mask is the caller's:
/// [`super::BIBS_L_MIN_RECALLED`] is from memory.
pub fn bibs_m3(people: f64, l_min: f64, depth_msw: f64) -> f64 {
    breathed_m3(people, l_min, depth_msw, 4.0 * 3600.0)
}

/// Gas that presses a volume from the surface to a depth, m3: `V D/10`.
///
/// Boyle's law, derived. `volume_m3` is geometric.
pub fn press_m3(volume_m3: f64, depth_msw: f64) -> f64 {
    volume_m3 * depth_msw / 10.0
}

/// Gas that people breathe at a depth, m3: `N q P t`. The flow is the caller's, L/min at depth.
///
/// Boyle's law, derived.
pub fn breathed_m3(people: f64, l_min: f64, depth_msw: f64, time_s: f64) -> f64 {
    people * l_min * 1e-3 * school_bar(depth_msw) * time_s / 60.0
}

/// Gas that a vessel leaks at a depth, m3: `k V P t`, where `share_per_day` of its gas goes in a day.
///
/// Derived. The share is the caller's: no measurement is public.
pub fn leak_m3(volume_m3: f64, depth_msw: f64, share_per_day: f64, time_s: f64) -> f64 {
    share_per_day * volume_m3 * school_bar(depth_msw) * time_s / 86_400.0
}

/// Least a supply must deliver to one diver, L/min of free gas: `62.5 P`.
///
/// Canada-NL, SOR/2021-247, 172(1)(k), seen.
pub fn least_supply_l_min(depth_msw: f64) -> f64 {
    LEAST_SUPPLY_L_MIN * school_bar(depth_msw)
}

/// How long a bail-out bottle lasts, s: `V (p_fill - P - p_reg) / (40 P)` minutes.
///
/// Brazil, NORMAM-222 of January 2025, seen (surface-supplied section): 40 L/min, the fill less
/// depth and the regulator's working pressure. Bottle in L, pressures in bar.
pub fn bail_out_s(bottle_l: f64, fill_bar: f64, regulator_bar: f64, depth_msw: f64) -> f64 {
    bail_out_at_s(bottle_l, fill_bar, regulator_bar, depth_msw, BAIL_OUT_L_MIN)
}

/// The same at a breathing of the caller's, L/min at depth.
pub fn bail_out_at_s(
    bottle_l: f64,
    fill_bar: f64,
    regulator_bar: f64,
    depth_msw: f64,
    l_min: f64,
) -> f64 {
    let ambient = school_bar(depth_msw);
    (bottle_l * (fill_bar - ambient - regulator_bar)).max(0.0) / (l_min * ambient) * 60.0
}

/// Longest umbilical that a bail-out covers, m: return at 10 m/min.
///
/// Brazil, NORMAM-222 of January 2025, seen; the algebra is derived.
pub fn bail_out_umbilical_m(bail_out_s: f64) -> f64 {
    10.0 * bail_out_s / 60.0
}

/// Air in the escape sets of a control room, m3: 30 min at 60 L/min each.
///
/// Brazil, NORMAM-222 of January 2025, 11.7, seen.
pub fn escape_sets_m3(sets: f64) -> f64 {
    sets * 60.0e-3 * 30.0
}

/// Gas lost with one run of a lock, m3: `V D/10`, unless it is recovered.
///
/// Boyle's law, derived. `volume_m3` is the lock's geometric volume.
pub fn lock_cycle_m3(volume_m3: f64, depth_msw: f64) -> f64 {
    press_m3(volume_m3, depth_msw)
}

/// Oxygen (or carbon dioxide to be absorbed) for people over a time, m3, at the sizing rate of
/// 30 L/h = 0.5 L/min each. A model that simulates uses measured rates instead.
///
/// France, order of 30 October 2012, art. 33, seen. The bell's 24 h make 0.72 m3, an evacuation
/// unit's 72 h 2.16 m3 a person.
pub fn person_sizing_m3(people: f64, time_s: f64) -> f64 {
    metabolic_m3(people, SIZING_L_MIN, time_s)
}

/// Absorbent for people over a time, kg, at the sizing rate and a capacity in L of carbon dioxide per
/// kg (measured 44 to 153 by grade and flow; a named input).
///
/// Derived from [`person_sizing_m3`].
pub fn absorbent_sizing_kg(people: f64, time_s: f64, capacity_l_kg: f64) -> f64 {
    absorbent_kg(people, SIZING_L_MIN, time_s, capacity_l_kg)
}

/// The same at a carbon dioxide of the caller's, L/min of free gas a person: `N q t/c`.
pub fn absorbent_kg(people: f64, l_min: f64, time_s: f64, capacity_l_kg: f64) -> f64 {
    metabolic_m3(people, l_min, time_s) * 1e3 / capacity_l_kg
}

/// How long a mass of absorbent lasts people, s: `M c/(N q)`, the inverse of [`absorbent_kg`].
pub fn absorbent_lasts_s(kg: f64, people: f64, l_min: f64, capacity_l_kg: f64) -> f64 {
    kg * capacity_l_kg / (people * l_min) * 60.0
}
