//! Water vapour: saturation pressure and heat of vaporisation.

use std::sync::LazyLock;

/// Saturation pressure of water, Pa, at a temperature (K).
///
/// Wagner and Pruss, the IAPWS supplementary equation for the vapour pressure of ordinary water
/// (J. Phys. Chem. Ref. Data 22, 783, 1993; coefficients recalled, checked at the triple point and
/// the normal boiling point). Below the triple point it is continued as over supercooled water.
/// The enhancement by chamber pressure is below 1 % and left out.
pub fn saturation_pa(t_k: f64) -> f64 {
    const T_CRITICAL_K: f64 = 647.096;
    const P_CRITICAL_PA: f64 = 22.064e6;
    let theta = (1.0 - t_k / T_CRITICAL_K).max(0.0);
    let root = theta.sqrt();
    let theta3 = theta * theta * theta;
    let sum = theta * (-7.859_517_83 + 1.844_082_59 * root)
        + theta3 * (-11.786_649_7 + 22.680_741_1 * root - 15.961_871_9 * theta)
        + theta3 * theta3 * theta * root * 1.801_225_02;
    P_CRITICAL_PA * libm::exp(sum * T_CRITICAL_K / t_k)
}

/// Lowest and highest whole temperature at which a bound of the saturation pressure is kept, K.
const KEPT_K: (i64, i64) = (250, 330);

/// A pressure, Pa, that the saturation pressure at a temperature (K) is not below, for a comparison that is decided
/// by far: the saturation pressure at the whole kelvin under it, less what rounding may do. Nothing in the cold.
pub fn saturation_at_least_pa(t_k: f64) -> f64 {
    static KEPT: LazyLock<Vec<f64>> = LazyLock::new(|| {
        let whole = (KEPT_K.0..=KEPT_K.1).map(|k| k as f64);
        whole.map(|t_k| (1.0 - 1e-9) * saturation_pa(t_k)).collect()
    });
    if t_k < KEPT_K.0 as f64 {
        return 0.0;
    }
    let at = (t_k - KEPT_K.0 as f64) as usize;
    KEPT[at.min(KEPT.len() - 1)]
}

/// Heat of vaporisation of water, J/mol, at a temperature (K): 2.501 - 0.002361 (T - 273.15)
/// MJ/kg, the straight line of the meteorological tables (Rogers and Yau, A Short Course in Cloud
/// Physics; recalled), within 0.1 % of the steam tables from 0 to 40 degC.
pub fn latent_j_mol(t_k: f64) -> f64 {
    const MOLAR_MASS_KG: f64 = 0.018_015_28;
    (2.501e6 - 2_361.0 * (t_k - 273.15)) * MOLAR_MASS_KG
}

/// Relative rise of the saturation pressure per kelvin, 1/K, by Clausius and Clapeyron with an ideal vapour:
/// within 1 % from 0 to 40 degC.
pub fn saturation_slope_k(t_k: f64) -> f64 {
    latent_j_mol(t_k) / (crate::units::R * t_k * t_k)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_slope_is_that_of_the_saturation_pressure() {
        for t_k in [274.0, 290.0, 313.0] {
            let rise = libm::log(saturation_pa(t_k + 0.01) / saturation_pa(t_k - 0.01)) / 0.02;
            assert_relative_eq!(saturation_slope_k(t_k), rise, max_relative = 1e-2);
        }
    }

    #[test]
    fn the_bound_is_below_the_saturation_pressure_and_near_it() {
        let ours = saturation_at_least_pa;
        for tenth in 2_000..4_000 {
            let t_k = f64::from(tenth) / 10.0;
            assert!(ours(t_k) < saturation_pa(t_k), "{t_k}");
        }
        assert_eq!(ours(249.9), 0.0);
        assert_relative_eq!(ours(303.0), saturation_pa(303.0), max_relative = 1e-8);
        assert_relative_eq!(ours(303.999), saturation_pa(303.0), max_relative = 1e-8);
        assert_relative_eq!(ours(390.0), saturation_pa(330.0), max_relative = 1e-8);
    }

    /// IAPWS triple point 611.657 Pa at 273.16 K; 101 325 Pa at 373.1243 K.
    #[test]
    fn fixed_points() {
        assert_relative_eq!(saturation_pa(273.16), 611.657, max_relative = 2e-5);
        assert_relative_eq!(saturation_pa(373.124_3), 101_325.0, max_relative = 2e-5);
    }
}
