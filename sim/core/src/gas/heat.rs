//! Heat capacities, residual enthalpy and throttling of the mixtures.
//!
//! Ideal-gas heat capacities are constants at about 300 K: helium 5/2 R (monatomic); oxygen,
//! nitrogen, carbon dioxide, water vapour and methane as the NIST-JANAF tables (4th ed., 1998) give
//! them at 300 K (recalled; O2 and N2 agree with the 1-bar columns of the reference equations of
//! state to 0.3 %). The real-gas parts follow from the virial model by exact thermodynamics:
//! u_res = -R T^2 (r dB/dT + r^2/2 dC/dT), h_res = u_res + p/r - R T.

use super::virial::{coefficients, density_mol_cm3, slopes};
use super::{Amounts, SPECIES};
use crate::units::R;

/// Ideal-gas molar heat capacity at constant pressure, J/(mol K), by species.
pub const CP_IDEAL_J_MOL_K: [f64; SPECIES] = [2.5 * R, 29.385, 29.125, 37.221, 33.596, 35.708];

/// Molar mass, kg/mol, by species (standard atomic weights; trace as methane).
pub const MOLAR_MASS_KG: [f64; SPECIES] = [
    4.002_602e-3,
    31.998_8e-3,
    28.013_4e-3,
    44.009_5e-3,
    18.015_28e-3,
    16.042_5e-3,
];

fn weighted(x: &Amounts, of: &[f64; SPECIES]) -> f64 {
    x.0.iter().zip(of).map(|(n, value)| n * value).sum()
}

/// Total heat capacity of the amounts at constant volume, J/K: the ideal part of each species,
/// which the temperature does not change.
pub fn cv_j_k(n: &Amounts, _t_k: f64) -> f64 {
    weighted(n, &CP_IDEAL_J_MOL_K) - R * n.total()
}

/// Ideal-gas molar heat capacity of a composition at constant pressure, J/(mol K); zero of nothing.
pub fn cp_j_mol_k(x: &Amounts) -> f64 {
    weighted(&x.fractions(), &CP_IDEAL_J_MOL_K)
}

/// Molar mass of a composition, kg/mol; zero of nothing.
pub fn molar_mass_kg(x: &Amounts) -> f64 {
    weighted(&x.fractions(), &MOLAR_MASS_KG)
}

/// Ratio of the ideal heat capacities of a composition; 5/3 of nothing.
pub fn gamma(x: &Amounts) -> f64 {
    let cp = cp_j_mol_k(x);
    if cp > R { cp / (cp - R) } else { 5.0 / 3.0 }
}

/// Residual enthalpy and real-gas heat capacity of fractions at a pressure and temperature.
struct RealHeat {
    enthalpy_residual_j_mol: f64,
    cp_j_mol_k: f64,
}

fn real_heat(x: &Amounts, p_pa: f64, t_k: f64) -> RealHeat {
    let k = coefficients(x, t_k);
    let s = slopes(x, t_k);
    let r = density_mol_cm3(&k, p_pa, t_k);
    let u = -R * t_k * t_k * r * (s.b1 + 0.5 * r * s.c1);
    let pv = R * t_k * r * (k.b + r * (k.c + r * k.d));
    let cv_residual =
        -R * t_k * (r * (2.0 * s.b1 + t_k * s.b2) + r * r * (s.c1 + 0.5 * t_k * s.c2));
    let dp_dt_over_r =
        R * (1.0 + r * (k.b + t_k * s.b1) + r * r * (k.c + t_k * s.c1) + r * r * r * k.d);
    let dp_dr = R * t_k * (1.0 + r * (2.0 * k.b + r * (3.0 * k.c + r * 4.0 * k.d)));
    let cv = weighted(x, &CP_IDEAL_J_MOL_K) - R * x.total() + cv_residual;
    RealHeat {
        enthalpy_residual_j_mol: u + pv,
        cp_j_mol_k: cv + t_k * dp_dt_over_r * dp_dt_over_r / dp_dr,
    }
}

/// Real-gas molar heat capacity at constant pressure, J/(mol K), at a pressure and temperature.
pub fn cp_real_j_mol_k(x: &Amounts, p_pa: f64, t_k: f64) -> f64 {
    real_heat(&x.fractions(), p_pa, t_k).cp_j_mol_k
}

/// Residual molar enthalpy, J/mol: what the real gas has beyond the ideal one at the same
/// temperature.
pub fn enthalpy_residual_j_mol(x: &Amounts, p_pa: f64, t_k: f64) -> f64 {
    real_heat(&x.fractions(), p_pa, t_k).enthalpy_residual_j_mol
}

/// Temperature, K, of a gas let down from one pressure to another at constant enthalpy. Helium
/// comes out warmer, oxygen and nitrogen colder.
pub fn throttled_t_k(x: &Amounts, p_up_pa: f64, t_up_k: f64, p_down_pa: f64) -> f64 {
    const COLDEST_K: f64 = 150.0;
    // A Newton step leaves about its square times how fast the heat capacity changes, less than 1e-3 a kelvin.
    const CLOSE_ENOUGH_K: f64 = 0.02;
    let x = x.fractions();
    let cp_ideal = weighted(&x, &CP_IDEAL_J_MOL_K);
    if cp_ideal <= 0.0 || p_up_pa <= 0.0 || p_down_pa <= 0.0 {
        return t_up_k;
    }
    let before = cp_ideal * t_up_k + real_heat(&x, p_up_pa, t_up_k).enthalpy_residual_j_mol;
    let mut t = t_up_k;
    for _ in 0..20 {
        let now = real_heat(&x, p_down_pa, t);
        let step = (before - cp_ideal * t - now.enthalpy_residual_j_mol) / now.cp_j_mol_k;
        t = (t + step).max(COLDEST_K);
        if step.abs() < CLOSE_ENOUGH_K {
            break;
        }
    }
    t
}
