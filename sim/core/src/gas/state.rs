//! Pressure from amounts, volume and temperature, and back, by the density virial model of
//! [`super::virial`], with the ideal gas beside it for comparison.

pub use super::heat::{
    CP_IDEAL_J_MOL_K, MOLAR_MASS_KG, cp_j_mol_k, cp_real_j_mol_k, cv_j_k, enthalpy_residual_j_mol,
    gamma, molar_mass_kg, throttled_t_k,
};

use super::Amounts;
use super::virial::{coefficients, density_mol_cm3};
use crate::units::R;

const CM3_PER_M3: f64 = 1e6;

/// Lowest temperature of the fit, K.
pub const FIT_T_MIN_K: f64 = 273.15;
/// Highest temperature of the fit, K.
pub const FIT_T_MAX_K: f64 = 323.15;
/// Highest pressure of the fit, Pa.
pub const FIT_P_MAX_PA: f64 = 250e5;

/// A state at which the gas model is extrapolated.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum OutsideFit {
    /// Colder or warmer than the fit.
    #[error(
        "gas at {t_k:.1} K is outside the 273 to 323 K of the gas model; its pressure is extrapolated"
    )]
    Temperature {
        /// The temperature, K.
        t_k: f64,
    },
    /// Above the pressures of the fit.
    #[error("gas at {:.0} bar is above the 250 bar of the gas model; its density is extrapolated", p_pa / 1e5)]
    Pressure {
        /// The pressure, Pa.
        p_pa: f64,
    },
}

/// Says when a state lies outside the range the gas model was fitted to; pressure is named first.
pub fn warning(p_pa: f64, t_k: f64) -> Option<OutsideFit> {
    if p_pa > FIT_P_MAX_PA {
        Some(OutsideFit::Pressure { p_pa })
    } else if !(FIT_T_MIN_K..=FIT_T_MAX_K).contains(&t_k) {
        Some(OutsideFit::Temperature { t_k })
    } else {
        None
    }
}

/// Real-gas pressure, Pa, of amounts (mol) in a volume (m3) at a temperature (K).
#[inline]
pub fn pressure_pa(n: &Amounts, v_m3: f64, t_k: f64) -> f64 {
    let per_cm3 = 1.0 / (v_m3 * CM3_PER_M3);
    let density = n.scaled(per_cm3);
    let k = coefficients(&density, t_k);
    R * t_k * CM3_PER_M3 * (density.total() + k.b + k.c + k.d)
}

/// Ideal-gas pressure, Pa, of amounts (mol) in a volume (m3) at a temperature (K).
pub fn pressure_ideal_pa(n: &Amounts, v_m3: f64, t_k: f64) -> f64 {
    n.total() * R * t_k / v_m3
}

/// Molar density, mol/m3, of a composition at a pressure (Pa) and temperature (K). Zero of nothing and at no pressure. The composition need not add up to one.
pub fn density_mol_m3(x: &Amounts, p_pa: f64, t_k: f64) -> f64 {
    let x = x.fractions();
    if p_pa <= 0.0 || x.total() <= 0.0 {
        return 0.0;
    }
    density_mol_cm3(&coefficients(&x, t_k), p_pa, t_k) * CM3_PER_M3
}

/// Moles in all of a composition that fill a volume (m3) at a pressure (Pa) and temperature (K).
pub fn total_moles(x: &Amounts, p_pa: f64, v_m3: f64, t_k: f64) -> f64 {
    density_mol_m3(x, p_pa, t_k) * v_m3
}

/// Compressibility Z = p/(r R T) of a composition; one at no pressure.
pub fn compressibility(x: &Amounts, p_pa: f64, t_k: f64) -> f64 {
    let r = density_mol_m3(x, p_pa, t_k);
    if r > 0.0 { p_pa / (r * R * t_k) } else { 1.0 }
}

/// Mass density, kg/m3, of a composition at a pressure (Pa) and temperature (K).
pub fn density_kg_m3(x: &Amounts, p_pa: f64, t_k: f64) -> f64 {
    density_mol_m3(x, p_pa, t_k) * molar_mass_kg(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gas::Species;
    use approx::assert_relative_eq;

    #[test]
    fn amounts_and_pressure_are_inverse() {
        let x = Amounts([0.85, 0.05, 0.08, 0.001, 0.018, 0.001]);
        for p in [1e3, 1e5, 31e5, 200e5] {
            let n = total_moles(&x, p, 3.0, 290.0);
            assert_relative_eq!(
                pressure_pa(&x.fractions().scaled(n), 3.0, 290.0),
                p,
                max_relative = 1e-13
            );
        }
    }

    #[test]
    fn carbon_dioxide_water_and_trace_are_ideal() {
        let mut n = Amounts::ZERO;
        n[Species::Co2] = 10.0;
        n[Species::H2o] = 20.0;
        n[Species::Trace] = 1.0;
        assert_eq!(
            pressure_pa(&n, 2.0, 300.0).to_bits(),
            (R * 300.0 * 1e6 * (n.scaled(5e-7).total())).to_bits()
        );
        assert_relative_eq!(
            pressure_pa(&n, 2.0, 300.0),
            pressure_ideal_pa(&n, 2.0, 300.0),
            max_relative = 1e-14
        );
    }

    #[test]
    fn nothing_is_nothing() {
        assert_eq!(pressure_pa(&Amounts::ZERO, 2.0, 300.0), 0.0);
        assert_eq!(total_moles(&Amounts::ZERO, 1e5, 2.0, 300.0), 0.0);
        assert_eq!(total_moles(&Amounts::air(), 0.0, 2.0, 300.0), 0.0);
        assert_eq!(compressibility(&Amounts::air(), 0.0, 300.0), 1.0);
        assert_eq!(throttled_t_k(&Amounts::ZERO, 2e5, 300.0, 1e5), 300.0);
    }

    #[test]
    fn warns_outside_the_fit() {
        assert_eq!(warning(31e5, 303.0), None);
        assert_eq!(
            warning(260e5, 303.0),
            Some(OutsideFit::Pressure { p_pa: 260e5 })
        );
        assert_eq!(
            warning(31e5, 260.0),
            Some(OutsideFit::Temperature { t_k: 260.0 })
        );
    }
}
