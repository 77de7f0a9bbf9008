//! Density of sea water at the pressure of the air, by the international equation of state of 1980 (UNESCO Technical
//! Papers in Marine Science 44, 1983; coefficients from memory, held to its printed check values below). It holds
//! from -2 to 40 degC; warmer water is taken as at 40.

use deepstay_core::units::ZERO_C_K;

/// Salinity of the open sea, g/kg (common figure).
const SALINITY: f64 = 35.0;

/// Density of sea water of 35 g/kg at a temperature, kg/m3.
pub fn sea_water_kg_m3(t_k: f64) -> f64 {
    let t = (t_k - ZERO_C_K).clamp(-2.0, 40.0);
    let of_t = |coefficients: &[f64]| coefficients.iter().rev().fold(0.0, |sum, c| sum * t + c);
    let fresh = of_t(&[
        999.842594,
        6.793952e-2,
        -9.095290e-3,
        1.001685e-4,
        -1.120083e-6,
        6.536332e-9,
    ]);
    let first = of_t(&[0.824493, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9]);
    let half = of_t(&[-5.72466e-3, 1.0227e-4, -1.6546e-6]);
    let salt = SALINITY * (first + half * libm::sqrt(SALINITY) + 4.8314e-4 * SALINITY);
    fresh + salt
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The paper's check values at 35 g/kg and the pressure of the air (from memory).
    #[test]
    fn the_printed_check_values() {
        for (t_c, kg_m3) in [(5.0, 1027.67547), (25.0, 1023.34306)] {
            let got = sea_water_kg_m3(ZERO_C_K + t_c);
            assert!((got - kg_m3).abs() < 1e-4, "{t_c} degC: {got}");
        }
        assert_eq!(
            sea_water_kg_m3(ZERO_C_K + 45.0),
            sea_water_kg_m3(ZERO_C_K + 40.0)
        );
    }
}
