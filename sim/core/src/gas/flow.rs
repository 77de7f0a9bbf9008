//! Flow of gas through an opening: the isentropic nozzle with an effective area, choked or not.
//!
//! The classical ideal-gas formulas of any compressible-flow text. For helium the real-gas
//! correction is -0.4 % at 31 bar and -2.4 % at 200 bar (derived, isentropic expansion by the
//! reference equation of state) and is left out, being below what is known of any opening's area.

use super::Amounts;
use super::heat::{MOLAR_MASS_KG, cp_j_mol_k};
use crate::units::R;

/// A power, good to the last digits for a base near one, where it is all that is needed here.
fn power(base: f64, exponent: f64) -> f64 {
    libm::exp(exponent * libm::log(base))
}

/// Downstream over upstream pressure below which the flow is choked, (2/(g+1))^(g/(g-1)).
/// For a monatomic gas 0.487139.
pub fn critical_ratio(gamma: f64) -> f64 {
    power(2.0 / (gamma + 1.0), gamma / (gamma - 1.0))
}

/// Choked flow function, sqrt(g) (2/(g+1))^((g+1)/(2(g-1))). For a monatomic gas 0.726184.
pub fn choked_function(gamma: f64) -> f64 {
    gamma.sqrt() * power(2.0 / (gamma + 1.0), 0.5 * (gamma + 1.0) / (gamma - 1.0))
}

/// The same by a polynomial, for the heat capacities of every gas here: within 1e-13 between 1.25 and 5/3.
fn choked_function_fast(gamma: f64) -> f64 {
    let u = (gamma - CHOKED_MIDDLE) / CHOKED_HALF;
    if !(-1.0..=1.000_001).contains(&u) {
        return choked_function(gamma);
    }
    // Even and odd powers apart: neither sum waits for the other.
    let square = u * u;
    let [even, odd] = [0, 1].map(|first| {
        let powers = CHOKED.iter().skip(first).step_by(2);
        powers.rev().fold(0.0, |sum, k| sum * square + k)
    });
    even + u * odd
}

const CHOKED_MIDDLE: f64 = (1.25 + 5.0 / 3.0) / 2.0;
const CHOKED_HALF: f64 = (5.0 / 3.0 - 1.25) / 2.0;
/// Chebyshev interpolation of degree ten (derived), in powers.
const CHOKED: [f64; 11] = [
    6.943982179091573e-01,
    3.387761792361556e-02,
    -2.257168568140309e-03,
    1.805530192748065e-04,
    -1.6294479827326896e-05,
    1.6031352453619008e-06,
    -1.681356946195675e-07,
    1.8494291027919152e-08,
    -2.1113241256319864e-09,
    2.586401396084429e-10,
    -3.135172929350202e-11,
];

/// Subcritical flow function at a ratio of downstream to upstream pressure between the critical
/// ratio and one; equal to the choked one at the critical ratio, zero at one.
pub fn subcritical_function(gamma: f64, ratio: f64) -> f64 {
    let root = power(ratio, 1.0 / gamma);
    let difference = root * root - root * ratio;
    (2.0 * gamma / (gamma - 1.0) * difference.max(0.0)).sqrt()
}

/// Below the critical ratio of every gas: that of helium is the lowest, 0.4871 (closed form at gamma 5/3).
const ALWAYS_CHOKED: f64 = 0.487;

/// What a composition brings to its flow through any opening.
#[derive(Clone, Copy, Debug, Default)]
pub struct Nozzle {
    gamma: f64,
    choked: f64,
    /// R times the molar mass, J kg/(mol2 K).
    r_molar_mass: f64,
}

impl Nozzle {
    /// Of fractions `x`.
    pub fn new(x: &Amounts) -> Nozzle {
        let cp = cp_j_mol_k(x);
        if cp > R {
            Nozzle::with_cp(&x.fractions(), cp)
        } else {
            Nozzle::default()
        }
    }

    /// Of fractions `x` that add up to one, whose heat capacity at constant pressure is known, J/(mol K).
    pub fn with_cp(x: &Amounts, cp_j_mol_k: f64) -> Nozzle {
        let molar_mass: f64 =
            x.0.iter()
                .zip(MOLAR_MASS_KG)
                .map(|(n, mass)| n * mass)
                .sum();
        let gamma = cp_j_mol_k / (cp_j_mol_k - R);
        Nozzle {
            gamma,
            choked: choked_function_fast(gamma),
            r_molar_mass: R * molar_mass,
        }
    }

    /// Molar flow, mol/s, through an effective area Cd A (m2) from an upstream pressure (Pa) and temperature (K)
    /// to a downstream pressure (Pa). Zero unless the upstream is the higher.
    pub fn mol_s(&self, cd_a_m2: f64, p_up_pa: f64, t_up_k: f64, p_down_pa: f64) -> f64 {
        if p_up_pa <= p_down_pa || cd_a_m2 <= 0.0 || self.r_molar_mass <= 0.0 || t_up_k <= 0.0 {
            return 0.0;
        }
        let ratio = p_down_pa.max(0.0) / p_up_pa;
        let function = if ratio <= ALWAYS_CHOKED || ratio <= critical_ratio(self.gamma) {
            self.choked
        } else {
            subcritical_function(self.gamma, ratio)
        };
        cd_a_m2 * p_up_pa * function / (t_up_k * self.r_molar_mass).sqrt()
    }
}

/// Molar flow, mol/s, of a composition through an effective area Cd A (m2) from an upstream pressure
/// (Pa) and temperature (K) to a downstream pressure (Pa). Zero unless the upstream is the higher.
pub fn mol_s(cd_a_m2: f64, x: &Amounts, p_up_pa: f64, t_up_k: f64, p_down_pa: f64) -> f64 {
    Nozzle::new(x).mol_s(cd_a_m2, p_up_pa, t_up_k, p_down_pa)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_polynomial_is_the_function() {
        for k in 0..=100 {
            let gamma = 1.25 + (5.0 / 3.0 - 1.25) * f64::from(k) / 100.0;
            approx::assert_relative_eq!(
                choked_function_fast(gamma),
                choked_function(gamma),
                max_relative = 1e-13
            );
        }
        assert_eq!(choked_function_fast(1.1), choked_function(1.1));
    }

    #[test]
    fn what_always_chokes_does() {
        assert!(critical_ratio(5.0 / 3.0) > ALWAYS_CHOKED);
        assert!(critical_ratio(1.4) > critical_ratio(5.0 / 3.0));
    }
}
