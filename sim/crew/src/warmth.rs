//! Heat that breath and skin lose in dense gas: shown beside the temperature, never a limit.
//!
//! Breath: the gas is warmed from inspired to exhaled temperature and leaves saturated. The exhaled
//! temperature is a fit from the diving literature (recalled). Skin: clothing and a film of gas in
//! series. Properties of the gas are given by the caller.

use super::rates::EVAPORATION_J_KG;
use deepstay_core::units::{R, ZERO_C_K};
use serde::{Deserialize, Serialize};

/// Temperature of the skin at rest, K (33.5 degC, recalled).
pub const SKIN_K: f64 = ZERO_C_K + 33.5;
/// Surface of the table's person, m2 (ISO 8996, recalled).
pub const SKIN_M2: f64 = 1.8;
/// Radiant exchange between skin and wall, W/(m2 K) (common figure of thermal comfort, recalled).
pub const RADIANT_W_M2K: f64 = 4.7;
/// Resistance of light clothing in air, m2 K/W, and the conductivity of that air, W/(m K) (recalled): in
/// other gas it falls as the conductivity rises.
pub const CLOTHING_IN_AIR: (f64, f64) = (0.047, 0.0264);
/// Specific heat of a body, J/(kg K) (textbook, recalled).
pub const BODY_J_KG_K: f64 = 3480.0;
/// Heat that may leave with each cubic metre breathed, J/m3, in the rule for inspired temperature.
const MINIMUM_RULE_J_M3: f64 = 265.56e3;

/// Pressure of water vapour over liquid, Pa, between 0 and 50 degC (Magnus form with the constants of
/// Alduchov and Eskridge 1996, recalled; within 0.4 % of the steam tables).
pub fn saturation_pa(t_k: f64) -> f64 {
    let t_c = t_k - ZERO_C_K;
    610.94 * libm::exp(17.625 * t_c / (t_c + 243.04))
}

/// Exhaled temperature for an inspired one, K: 24 degC + 0.32 of the inspired in degC (recalled).
pub fn exhaled_k(inspired_k: f64) -> f64 {
    ZERO_C_K + 24.0 + 0.32 * (inspired_k - ZERO_C_K)
}

/// Heat lost by breathing dry gas, W: ventilation in m3/s at the diver's pressure, heat capacity of the
/// inspired gas in J/(m3 K), inspired temperature in K.
pub fn respiratory_heat_w(ventilation_m3_s: f64, rho_cp_j_m3k: f64, inspired_k: f64) -> f64 {
    let exhaled = exhaled_k(inspired_k);
    let vapour_kg_m3 = saturation_pa(exhaled) * super::rates::WATER_KG_MOL / (R * exhaled);
    ventilation_m3_s * (rho_cp_j_m3k * (exhaled - inspired_k) + vapour_kg_m3 * EVAPORATION_J_KG)
}

/// Lowest inspired temperature by a rule derived here: not more than 265.56 J of warming for each litre
/// breathed. It gives the handbook's table of minimum inspired temperatures of helium-oxygen (recalled,
/// 350 to 1500 fsw) to 0.2 K. K, for the gas's heat capacity in J/(m3 K).
pub fn minimum_inspired_k(rho_cp_j_m3k: f64) -> f64 {
    ZERO_C_K + (24.0 - MINIMUM_RULE_J_M3 / rho_cp_j_m3k) / 0.68
}

/// What surrounds a diver in a chamber.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Surroundings {
    /// Temperature of gas and wall, K.
    pub t_k: f64,
    /// Heat capacity of the gas, J/(m3 K).
    pub rho_cp_j_m3k: f64,
    /// Film coefficient at the skin, W/(m2 K).
    pub film_w_m2k: f64,
    /// Conductivity of the gas, W/(m K).
    pub conductivity_w_mk: f64,
}

impl Surroundings {
    /// Resistance between skin and gas, m2 K/W.
    fn resistance(&self) -> f64 {
        let (clothing, air) = CLOTHING_IN_AIR;
        1.0 / (self.film_w_m2k + RADIANT_W_M2K) + clothing * air / self.conductivity_w_mk
    }

    /// Dry heat lost through the skin, W.
    pub fn skin_loss_w(&self) -> f64 {
        SKIN_M2 * (SKIN_K - self.t_k) / self.resistance()
    }

    /// Temperature at which a seated person loses 45 W/m2 of dry heat, K: the derived comfort curve. Set
    /// points come from the rule set; this is display only, and lies above them.
    pub fn neutral_k(&self) -> f64 {
        SKIN_K - 45.0 * self.resistance()
    }

    /// Heat made less heat lost by skin, breath and evaporation from the skin, W. Below zero he cools.
    /// An index: no regulation by blood flow, sweat or shivering is in it.
    pub fn heat_balance_w(&self, rate: &super::Rate) -> f64 {
        let skin_water_kg_s = (rate.water_g_h - rate.breath_water_g_h()) * 1e-3 / 3600.0;
        rate.heat_w
            - self.skin_loss_w()
            - respiratory_heat_w(rate.ventilation_m3_s(), self.rho_cp_j_m3k, self.t_k)
            - skin_water_kg_s * EVAPORATION_J_KG
    }
}

/// How fast a body of `mass_kg` warms (or cools, below zero) under a heat balance, K/h; an index.
pub fn drift_k_h(balance_w: f64, mass_kg: f64) -> f64 {
    balance_w * 3600.0 / (mass_kg * BODY_J_KG_K)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_resting_man_is_near_balance_at_his_neutral_temperature_and_cools_below_it() {
        let rest = super::super::Rates::default().table().expect("whole")[1];
        let mut gas = Surroundings {
            t_k: 303.9,
            rho_cp_j_m3k: 9181.0,
            film_w_m2k: 14.29,
            conductivity_w_mk: 0.1481,
        };
        gas.t_k = gas.neutral_k();
        assert!((gas.skin_loss_w() - 45.0 * SKIN_M2).abs() < 1e-9);
        let level = gas.heat_balance_w(&rest);
        assert!(level.abs() < 40.0, "{level}");
        gas.t_k -= 5.0;
        assert!(gas.heat_balance_w(&rest) < level - 50.0);
        assert!(drift_k_h(gas.heat_balance_w(&rest), 80.0) < 0.0);
    }

    /// By hand: 58 W more than is lost, for an hour in 80 kg of 3,480 J/(kg K): 208,800 / 278,400 = 0.75 K.
    #[test]
    fn a_body_warms_by_what_it_keeps() {
        assert!((drift_k_h(58.0, 80.0) - 0.75).abs() < 1e-12);
        assert!((drift_k_h(-58.0, 40.0) + 1.5).abs() < 1e-12);
    }

    /// By hand, at the neutral temperature of a gas without heat capacity: 45 W/m2 through 1.8 m2 are 81 W. The breath of 8
    /// L/min, 14.592 g/h of water by the table's 30.4 g/m3, leaves 55.408 g/h of 70 to the skin, which take 37.400 W; the breath itself
    /// takes its vapour at the exhaled temperature.
    #[test]
    fn a_heat_balance_by_hand() {
        let mut gas = Surroundings {
            t_k: 300.0,
            rho_cp_j_m3k: 1e4,
            film_w_m2k: 10.0,
            conductivity_w_mk: 0.15,
        };
        gas.t_k = gas.neutral_k();
        let rate = super::super::Rate {
            o2_l_min: 0.3,
            co2_l_min: 0.26,
            ventilation_l_min: 8.0,
            heat_w: 105.0,
            water_g_h: 70.0,
        };
        let breath_w = respiratory_heat_w(8e-3 / 60.0, 1e4, gas.t_k);
        assert!((10.0..30.0).contains(&breath_w), "{breath_w}");
        let by_hand = 105.0 - 81.0 - 37.400 - breath_w;
        let ours = gas.heat_balance_w(&rate);
        assert!((ours - by_hand).abs() < 1e-3, "{ours}, {by_hand}");
    }
}
