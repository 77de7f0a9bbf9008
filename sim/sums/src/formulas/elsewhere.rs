//! Gas that warms or cools, altitude, and the closed-circuit set.

use deepstay_core::units::ATM_PA;

/// Gauge pressure of gas shut in at one temperature when it is at another: `(p + a) T2/T1 - a`, with `a` the atmosphere.
///
/// Gay-Lussac's law; problems of the US Navy Diving Manual, chapter 2 (recalled with their answers).
pub fn gauge_at_temperature(gauge: f64, atmosphere: f64, from_k: f64, to_k: f64) -> f64 {
    (gauge + atmosphere) * to_k / from_k - atmosphere
}

/// Volume of a gas at another pressure and temperature: `V P1/P2 T2/T1`.
///
/// Boyle's and Charles's laws.
pub fn volume_at(volume: f64, from_absolute: f64, to_absolute: f64, from_k: f64, to_k: f64) -> f64 {
    volume * from_absolute / to_absolute * to_k / from_k
}

/// Depth at sea level that a depth at altitude is worth: `D P_sea/P_altitude`.
///
/// From memory (US Navy Diving Manual, altitude diving); of that page the pair 843 mb and 0.832 ata was seen.
pub fn sea_level_equivalent(depth: f64, barometer_pa: f64) -> f64 {
    depth * ATM_PA / barometer_pa
}

/// Pressure of the standard atmosphere at a height, Pa: `101325 (1 - 0.0065 h/288.15)^5.25588`, to 11 km.
///
/// The International Standard Atmosphere (ISO 2533), from memory.
pub fn standard_atmosphere_pa(height_m: f64) -> f64 {
    const LAPSE_K_M: f64 = 0.0065;
    const SEA_LEVEL_K: f64 = 288.15;
    const EXPONENT: f64 = 5.255_88;
    ATM_PA * libm::pow(1.0 - LAPSE_K_M * height_m / SEA_LEVEL_K, EXPONENT)
}
