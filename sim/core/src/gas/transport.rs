//! Viscosity, conductivity and natural convection of the mixtures.
//!
//! The pure values are power laws a (T/300 K)^s fitted (derived) to CoolProp 8.0.0 at 1 bar,
//! 273 to 313 K: helium within 0.004 %, oxygen and nitrogen within 0.02 %. Pressure raises helium's
//! conductivity by 1.3 % and its viscosity by 0.5 % at 31 bar, which is left out. Viscosity mixes by
//! Wilke (J. Chem. Phys. 18, 517, 1950), conductivity by Mason and Saxena (Phys. Fluids 1, 361,
//! 1958) with Wilke's factors and a leading constant of one in place of their 1.065, the later
//! recommendation of The Properties of Gases and Liquids (5th ed., recalled). Carbon dioxide, water vapour and trace are ignored here.

use super::Amounts;
use super::heat::{MOLAR_MASS_KG, cp_j_mol_k, molar_mass_kg};
use super::state::density_kg_m3;

const SPECIES_WITH_TRANSPORT: usize = 3;
const T_REF_K: f64 = 300.0;
/// Standard gravity, m/s2 (ISO 80000-3), to the three digits that a convection formula deserves.
const GRAVITY_M_S2: f64 = 9.81;

/// Value at 300 K and exponent, in the order He, O2, N2.
const VISCOSITY: [(f64, f64); SPECIES_WITH_TRANSPORT] = [
    (1.993_03e-5, 0.683_11),
    (2.064_93e-5, 0.805_80),
    (1.788_76e-5, 0.776_57),
];
const CONDUCTIVITY: [(f64, f64); SPECIES_WITH_TRANSPORT] = [
    (0.155_975, 0.690_83),
    (0.026_482, 0.893_91),
    (0.025_965, 0.837_11),
];

fn pure(table: &[(f64, f64); SPECIES_WITH_TRANSPORT], t_k: f64) -> [f64; SPECIES_WITH_TRANSPORT] {
    let log_t = libm::log(t_k / T_REF_K);
    table.map(|(at_300, exponent)| at_300 * libm::exp(exponent * log_t))
}

/// Fractions among helium, oxygen and nitrogen; nitrogen alone where there is none of them.
fn fractions(x: &Amounts) -> [f64; SPECIES_WITH_TRANSPORT] {
    let sum = x.0[0] + x.0[1] + x.0[2];
    if sum > 0.0 {
        [x.0[0] / sum, x.0[1] / sum, x.0[2] / sum]
    } else {
        [0.0, 0.0, 1.0]
    }
}

/// Wilke's factor of species i among j: one for i = j.
fn wilke(i: usize, j: usize, viscosity: &[f64; SPECIES_WITH_TRANSPORT]) -> f64 {
    let mass_ratio = MOLAR_MASS_KG[i] / MOLAR_MASS_KG[j];
    let sum = 1.0 + (viscosity[i] / viscosity[j] / mass_ratio.sqrt()).sqrt();
    sum * sum / (8.0 * (1.0 + mass_ratio)).sqrt()
}

/// Viscosity, Pa s, and conductivity, W/(m K), of a composition at a temperature (K).
fn viscosity_and_conductivity(x: &Amounts, t_k: f64) -> (f64, f64) {
    let (viscosity, conductivity) = (pure(&VISCOSITY, t_k), pure(&CONDUCTIVITY, t_k));
    let x = fractions(x);
    let mut total = (0.0, 0.0);
    for i in (0..SPECIES_WITH_TRANSPORT).filter(|i| x[*i] > 0.0) {
        let others = (0..SPECIES_WITH_TRANSPORT).filter(|j| *j != i && x[*j] > 0.0);
        let among = x[i] + others.map(|j| x[j] * wilke(i, j, &viscosity)).sum::<f64>();
        total.0 += x[i] * viscosity[i] / among;
        total.1 += x[i] * conductivity[i] / among;
    }
    total
}

/// Dynamic viscosity, Pa s, of a composition at a temperature (K).
pub fn viscosity_pa_s(x: &Amounts, t_k: f64) -> f64 {
    viscosity_and_conductivity(x, t_k).0
}

/// Thermal conductivity, W/(m K), of a composition at a temperature (K).
pub fn conductivity_w_m_k(x: &Amounts, t_k: f64) -> f64 {
    viscosity_and_conductivity(x, t_k).1
}

/// Coefficient of heat transfer, W/(m2 K), by natural convection between a gas and an upright wall
/// of a height (m): Churchill and Chu (Int. J. Heat Mass Transfer 18, 1323, 1975), properties at the
/// mean of gas and wall temperature. Expect +-15 %; fans and jets come on top.
pub fn natural_convection_w_m2_k(
    x: &Amounts,
    p_pa: f64,
    t_gas_k: f64,
    t_wall_k: f64,
    height_m: f64,
) -> f64 {
    Plate::new(x, p_pa, 0.5 * (t_gas_k + t_wall_k), height_m).w_m2_k(t_gas_k, t_wall_k)
}

/// A vertical plate in a gas at a film temperature: all of the correlation but the temperature
/// difference, which is what changes fastest.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Plate {
    /// Conductivity over height, W/(m2 K).
    conductance_w_m2_k: f64,
    /// Factor of the sixth root of the relative temperature difference.
    root: f64,
}

/// Difference over temperature below which the correlation's sixth root is rounded off: air is never so still
/// (house rule; some milli-kelvin).
const STILL_SHARE: f64 = 1e-5;

impl Plate {
    /// The plate in a gas of fractions `x` at a pressure, Pa, and film temperature, K.
    pub fn new(x: &Amounts, p_pa: f64, t_film_k: f64, height_m: f64) -> Plate {
        let (viscosity, conductivity) = viscosity_and_conductivity(x, t_film_k);
        let density = density_kg_m3(x, p_pa, t_film_k);
        let molar_mass = molar_mass_kg(x);
        if density <= 0.0 || molar_mass <= 0.0 {
            return Plate::default();
        }
        let cp_j_kg_k = cp_j_mol_k(x) / molar_mass;
        let prandtl = viscosity * cp_j_kg_k / conductivity;
        let rayleigh_per_share =
            GRAVITY_M_S2 * height_m * height_m * height_m * density * density * cp_j_kg_k
                / (viscosity * conductivity);
        let prandtl_part =
            libm::exp(8.0 / 27.0 * libm::log1p(libm::exp(9.0 / 16.0 * libm::log(0.492 / prandtl))));
        Plate {
            conductance_w_m2_k: conductivity / height_m,
            root: 0.387 * libm::cbrt(rayleigh_per_share).sqrt() / prandtl_part,
        }
    }

    /// The same plate a little higher or lower in pressure and temperature, each relative, by the powers that the
    /// correlation goes with: the square of the density over viscosity and conductivity, to a sixth. `x` as before.
    pub fn near(&self, x: &Amounts, p_share: f64, t_share: f64) -> Plate {
        let x = fractions(x);
        let power = |table: &[(f64, f64); SPECIES_WITH_TRANSPORT]| -> f64 {
            (0..SPECIES_WITH_TRANSPORT).map(|i| x[i] * table[i].1).sum()
        };
        let (viscosity, conductivity) = (power(&VISCOSITY), power(&CONDUCTIVITY));
        Plate {
            conductance_w_m2_k: self.conductance_w_m2_k * (1.0 + conductivity * t_share),
            root: self.root
                * (1.0 + p_share / 3.0 - (2.0 + viscosity + conductivity) / 6.0 * t_share),
        }
    }

    /// Heat transfer coefficient between gas and wall, W/(m2 K).
    pub fn w_m2_k(&self, t_gas_k: f64, t_wall_k: f64) -> f64 {
        let share = 2.0 * (t_gas_k - t_wall_k) / (t_gas_k + t_wall_k);
        let share = (share * share + STILL_SHARE * STILL_SHARE).sqrt();
        let root = 0.825 + self.root * libm::cbrt(share).sqrt();
        root * root * self.conductance_w_m2_k
    }
}
