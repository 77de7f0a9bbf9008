//! Virial coefficients of helium, oxygen and nitrogen and of their mixtures.
//!
//! The model is a density virial series, Z = 1 + B r + C r^2 + D r^3 with r in mol/cm3, B quadratic
//! and C linear in tau = (T - 298.15 K)/100 K, D constant. The pure coefficients are a fit (derived)
//! to the reference equations of state: helium, Ortiz-Vega et al. (J. Phys. Chem. Ref. Data 2019
//! list); oxygen, Schmidt and Wagner 1985 with Stewart et al. 1991; nitrogen, Span et al. 2000, as
//! evaluated by CoolProp 8.0.0, 1 to 250 bar and 273 to 323 K: within 0.0007 % (He), 0.027 % (O2)
//! and 0.029 % (N2) in Z.
//!
//! Cross terms: He-N2 and N2-O2 from the GERG-2008 mixture model as evaluated by CoolProp; He-O2 is
//! an estimate, 18.0 + 0.02 (T - 298.15) cm3/mol, +-2, because no measurement was found. C and D mix
//! by cube and fourth roots. Carbon dioxide, water vapour and trace are ideal here: their fractions
//! in a chamber are below 1 %, 6 % (at the surface) and 0.1 %, and their terms far below the
//! uncertainty of the He-O2 one.

use super::{Amounts, Species};
use crate::units::R;

const T_REF_K: f64 = 298.15;
const TAU_PER_K: f64 = 0.01;
const REAL: usize = 3;

/// Pure coefficients: B0, B1, B2 in cm3/mol; C0, C1 in cm6/mol2; and the cube root of C0.
struct Pure {
    b: [f64; 3],
    c: [f64; 2],
    c0_root: f64,
}

/// In the order He, O2, N2.
const PURE: [Pure; REAL] = [
    Pure {
        b: [11.847_651_77, -0.404_324_446, 0.002_411_701_371],
        c: [103.366_339_9, -19.349_899_54],
        c0_root: 4.693098969777887,
    },
    Pure {
        b: [-15.879_324_24, 20.953_076_3, -7.423_196_635],
        c: [960.827_374_2, -203.067_173_3],
        c0_root: 9.86768148388834,
    },
    Pure {
        b: [-4.658_444_05, 19.400_340_16, -7.067_097_672],
        c: [1_223.288_739, -151.727_398_5],
        c0_root: 10.69489009510646,
    },
];

/// Fourth roots of D = 935.5350954, 19572.48678 and 44400.64143 cm9/mol3.
const D_FOURTH_ROOT: [f64; REAL] = [
    5.530_507_951_060_92,
    11.828_005_072_389_926,
    14.516_011_749_016_696,
];

/// Cross second coefficients as powers of d = T - 298.15 K, cm3/mol: He-O2, He-N2, N2-O2.
const HE_O2: [f64; 3] = [18.0, 0.02, 0.0];
const HE_N2: [f64; 3] = [21.07, -0.0018, 0.0];
const N2_O2: [f64; 3] = [-10.73, 0.2053, -0.00082];

/// The three real species of a set of amounts.
fn real(c: &Amounts) -> [f64; REAL] {
    [c[Species::He], c[Species::O2], c[Species::N2]]
}

fn parabola(k: &[f64; 3], x: f64) -> f64 {
    k[0] + x * (k[1] + x * k[2])
}

fn pure_b(i: usize, d: f64) -> f64 {
    parabola(&PURE[i].b, d * TAU_PER_K)
}

/// Cube root of C at d = T - 298.15 K. It lies within a third of the root of C0 over any temperature
/// a chamber sees, so a short binomial series and one step of Halley's give it to the last digits at
/// a fraction of the cost of a general root.
fn pure_c_root(i: usize, d: f64) -> f64 {
    let e = PURE[i].c[1] / PURE[i].c[0] * d * TAU_PER_K;
    let target = 1.0 + e;
    let y = 1.0 + e * (1.0 / 3.0 + e * (-1.0 / 9.0 + e * (5.0 / 81.0 - e * 10.0 / 243.0)));
    let cube = y * y * y;
    PURE[i].c0_root * y * (cube + 2.0 * target) / (2.0 * cube + target)
}

/// sum x_i x_j f_ij for a pure function f_ii and the three cross values.
fn mixed(x: &[f64; REAL], pure: [f64; REAL], he_o2: f64, he_n2: f64, n2_o2: f64) -> f64 {
    x[0] * x[0] * pure[0]
        + x[1] * x[1] * pure[1]
        + x[2] * x[2] * pure[2]
        + 2.0 * (x[0] * x[1] * he_o2 + x[0] * x[2] * he_n2 + x[1] * x[2] * n2_o2)
}

/// B, C and D of a composition, in cm3/mol and its powers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Coefficients {
    pub b: f64,
    pub c: f64,
    pub d: f64,
}

/// The mixing sums of amounts or fractions at a temperature. Fed with fractions they are B, C and D;
/// fed with densities in mol/cm3 they are B r^2, C r^3 and D r^4, which needs no division.
#[inline]
pub(super) fn coefficients(x: &Amounts, t_k: f64) -> Coefficients {
    let x = real(x);
    let d = t_k - T_REF_K;
    let b = mixed(
        &x,
        [pure_b(0, d), pure_b(1, d), pure_b(2, d)],
        parabola(&HE_O2, d),
        parabola(&HE_N2, d),
        parabola(&N2_O2, d),
    );
    let roots: [f64; REAL] = std::array::from_fn(|i| pure_c_root(i, d));
    let weighted = |roots: &[f64; REAL]| x[0] * roots[0] + x[1] * roots[1] + x[2] * roots[2];
    let (c_root, d_root) = (weighted(&roots), weighted(&D_FOURTH_ROOT));
    let d_root_sq = d_root * d_root;
    Coefficients {
        b,
        c: c_root * c_root * c_root,
        d: d_root_sq * d_root_sq,
    }
}

/// Molar density, mol/cm3, at a pressure (Pa) and temperature (K), by Newton from the ideal value; the
/// series rises with density over the whole range of the fit.
pub(super) fn density_mol_cm3(k: &Coefficients, p_pa: f64, t_k: f64) -> f64 {
    const CM3_PER_M3: f64 = 1e6;
    const FLATTEST: f64 = 0.1;
    let ideal = p_pa / (R * t_k * CM3_PER_M3);
    let mut r = ideal;
    for _ in 0..30 {
        let value = r * (1.0 + r * (k.b + r * (k.c + r * k.d)));
        let slope = 1.0 + r * (2.0 * k.b + r * (3.0 * k.c + r * 4.0 * k.d));
        let step = (ideal - value) / slope.max(FLATTEST);
        r += step;
        if step.abs() <= 1e-15 * r {
            break;
        }
    }
    r
}

/// First and second temperature derivatives of B and C (D has none).
#[derive(Clone, Copy, Debug)]
pub(super) struct Slopes {
    pub b1: f64,
    pub b2: f64,
    pub c1: f64,
    pub c2: f64,
}

/// Temperature derivatives of the coefficients of fractions, per kelvin and per kelvin squared.
pub(super) fn slopes(x: &Amounts, t_k: f64) -> Slopes {
    let x = real(x);
    let d = t_k - T_REF_K;
    let first = |k: &[f64; 3], u: f64| k[1] + 2.0 * k[2] * u;
    let pure1 = [0, 1, 2].map(|i| first(&PURE[i].b, d * TAU_PER_K) * TAU_PER_K);
    let pure2 = [0, 1, 2].map(|i| 2.0 * PURE[i].b[2] * TAU_PER_K * TAU_PER_K);
    let b1 = mixed(
        &x,
        pure1,
        first(&HE_O2, d),
        first(&HE_N2, d),
        first(&N2_O2, d),
    );
    let b2 = mixed(&x, pure2, 2.0 * HE_O2[2], 2.0 * HE_N2[2], 2.0 * N2_O2[2]);

    let (mut s, mut s1, mut s2) = (0.0, 0.0, 0.0);
    for i in 0..REAL {
        let root = pure_c_root(i, d);
        let root1 = PURE[i].c[1] * TAU_PER_K / (3.0 * root * root);
        s += x[i] * root;
        s1 += x[i] * root1;
        s2 -= x[i] * 2.0 * root1 * root1 / root;
    }
    Slopes {
        b1,
        b2,
        c1: 3.0 * s * s * s1,
        c2: 6.0 * s * s1 * s1 + 3.0 * s * s * s2,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn fourth_roots_are_of_the_fitted_d() {
        for (root, d) in D_FOURTH_ROOT
            .iter()
            .zip([935.535_095_4, 19_572.486_78, 44_400.641_43])
        {
            assert_relative_eq!(root * root * root * root, d, max_relative = 1e-14);
        }
    }

    #[test]
    fn cube_roots_are_of_the_fitted_c() {
        for (i, pure) in PURE.iter().enumerate() {
            for t_k in [150.0, 200.0, 260.0, 298.15, 310.0, 350.0, 450.0] {
                let d = t_k - T_REF_K;
                let c = pure.c[0] + pure.c[1] * d * TAU_PER_K;
                let bound = if (250.0..350.0).contains(&t_k) {
                    1e-14
                } else {
                    1e-10
                };
                assert_relative_eq!(pure_c_root(i, d), libm::cbrt(c), max_relative = bound);
            }
        }
    }

    #[test]
    fn slopes_are_the_derivatives_of_the_coefficients() {
        let x = Amounts([0.6, 0.25, 0.15, 0.0, 0.0, 0.0]);
        let (t, h) = (291.0, 0.05);
        let (low, mid, high) = (
            coefficients(&x, t - h),
            coefficients(&x, t),
            coefficients(&x, t + h),
        );
        let s = slopes(&x, t);
        assert_relative_eq!(s.b1, (high.b - low.b) / (2.0 * h), max_relative = 1e-8);
        assert_relative_eq!(s.c1, (high.c - low.c) / (2.0 * h), max_relative = 1e-6);
        assert_relative_eq!(
            s.b2,
            (high.b - 2.0 * mid.b + low.b) / (h * h),
            max_relative = 1e-4
        );
        let c1 = |t: f64| slopes(&x, t).c1;
        assert_relative_eq!(
            s.c2,
            (c1(t + h) - c1(t - h)) / (2.0 * h),
            max_relative = 1e-6
        );
    }
}
