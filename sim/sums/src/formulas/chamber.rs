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

/// What people breathe, take up or give off in a time: `N q t`, in what the flow is counted in.
pub fn used(people: f64, flow: f64, time: f64) -> f64 {
    people * flow * time
}

/// Free gas that people breathe in a time: `N q P t`, the flow at the pressure it is breathed at.
///
/// Boyle's law, derived.
pub fn breathed(people: f64, flow: f64, absolute: f64, time: f64) -> f64 {
    used(people, flow, time) * absolute
}

/// How long a stock lasts: what there is over what goes in a unit of time.
pub fn lasts(held: f64, goes: f64) -> f64 {
    held / goes
}

/// Change of a partial pressure in a closed volume by what people take up or give off: `w/V`; `warmth` is what a unit of
/// free gas becomes at the chamber's temperature and one unit of pressure. Derived.
pub fn pp_change(used: f64, warmth: f64, volume: f64) -> f64 {
    used * warmth / volume
}

/// Free gas that a vessel leaks: `k V P t`, where such a share of its gas goes in a day.
///
/// Derived. The share is the caller's: no measurement is public.
pub fn leaked(volume: f64, absolute: f64, share_a_day: f64, days: f64) -> f64 {
    share_a_day * volume * absolute * days
}

/// Time to let a chamber up through an exhaust of constant flow at chamber pressure: `V (P1 - P2)/(R (P1 + P2)/2)`.
///
/// US Navy Diving Manual, Revision 4, p. 22-17, seen: 425 ft3, 170 to 160 fsw, 6 acfm: 215 s.
pub fn exhaust_time(volume: f64, from_absolute: f64, to_absolute: f64, flow: f64) -> f64 {
    volume * (from_absolute - to_absolute) / (flow * 0.5 * (from_absolute + to_absolute))
}

/// The same without the mean: `V/R ln(P1/P2)`. Derived.
pub fn exhaust_time_exact(volume: f64, from_absolute: f64, to_absolute: f64, flow: f64) -> f64 {
    volume / flow * libm::log(from_absolute / to_absolute)
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
