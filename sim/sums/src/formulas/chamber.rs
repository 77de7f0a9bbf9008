//! A chamber's oxygen, carbon dioxide and nitrogen, and what a depth change takes. Each sum holds in any units in which
//! pressures are counted in the pressure at which free gas is: bar and m3 at 1 bar, ata and scf.

/// Oxygen partial pressure of a mix at an absolute pressure: `f P`.
///
/// Dalton's law (US Navy Diving Manual, 12-5; seen).
pub fn ppo2_of_mix(share: f64, absolute: f64) -> f64 {
    share * absolute
}

/// Oxygen partial pressure after pressing by a rise of pressure with a mix: what was there plus the share of what was added:
/// `p + f dP`. Derived.
pub fn ppo2_after_pressing(ppo2: f64, mix_share: f64, rise: f64) -> f64 {
    ppo2 + mix_share * rise
}

/// A partial pressure after coming up with nothing added: it scales with absolute pressure: `p P2/P1`. Derived.
pub fn pp_after_ascent(pp: f64, from_absolute: f64, to_absolute: f64) -> f64 {
    pp * to_absolute / from_absolute
}

/// Free gas that raises a partial pressure in a volume, and the whole pressure by as much: `V dp`. Derived.
pub fn gas_for_rise(volume: f64, rise: f64) -> f64 {
    volume * rise
}

/// Oxygen that people take up, or carbon dioxide that they give off, m3: `N q t`, the flow in L/min of free gas.
pub fn metabolic_m3(people: f64, l_min: f64, time_s: f64) -> f64 {
    people * (l_min * 60.0e-3) * time_s / 3600.0
}

/// Change of a partial pressure in a closed volume by people, bar: `N q t/V`, the flow in L/min, the volume in m3; `warmth`
/// is what a litre of the flow becomes at the chamber's temperature and 1 bar. Derived.
pub fn pp_change_bar(people: f64, l_min: f64, time_s: f64, volume_m3: f64, warmth: f64) -> f64 {
    metabolic_m3(people, l_min, time_s) * warmth / volume_m3
}

/// Time until a trend reaches a limit: `(limit - now)/(now - earlier) t`, where the two readings are `apart`. Derived.
pub fn trend_reaches(earlier: f64, now: f64, apart: f64, limit: f64) -> f64 {
    (limit - now) / (now - earlier) * apart
}

/// What is left of a gas that lock runs flush out of a chamber: `p (1 - v/V)^n`, each run taking out a lock's volume of what
/// the chamber holds, made up with another gas.
///
/// US Navy Diving Manual, 15-14, says that nitrogen falls so (seen); the algebra is derived.
pub fn flushed(pp: f64, lock: f64, chamber: f64, runs: f64) -> f64 {
    pp * libm::pow(1.0 - lock / chamber, runs)
}
