//! The temperature of the core: heat made against heat lost through tissue, clothing and film and with the breath;
//! shivering and sweat keep it as far as they go.

use super::figures::HarmFigures;
use crate::Surroundings;
use crate::rates::Rate;
use crate::warmth::{CLOTHING_IN_AIR, RADIANT_W_M2K, SKIN_M2, respiratory_heat_w, saturation_pa};
use serde::{Deserialize, Serialize};

/// Longest step in which the core is followed, s: a hundredth of what it takes to answer.
const LONGEST_S: f64 = 30.0;

/// What is round a diver's skin.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Skin {
    /// On deck, or in a suit with hot water in it: he keeps his temperature.
    Kept,
    /// The gas of a compartment, with its water vapour, Pa.
    Gas(Surroundings, f64),
    /// The sea in a suit without hot water: its temperature, K, and the heat capacity of the gas he breathes, J/(m3 K).
    Water(f64, f64),
}

/// A body that makes and loses heat.
#[derive(Clone, Copy, Debug)]
pub struct Heated<'a> {
    /// The figures.
    pub figures: &'a HarmFigures,
    /// Mass, kg.
    pub mass_kg: f64,
    /// What he takes and gives.
    pub rate: &'a Rate,
    /// Whether he breathes.
    pub breathes: bool,
}

impl Heated<'_> {
    fn heat_j_k(&self) -> f64 {
        self.mass_kg * self.figures.core_heat_capacity
    }

    fn shivering_w(&self, core_k: f64) -> f64 {
        let f = self.figures;
        let left =
            (core_k - f.shivering_none_below) / (f.shivering_full_above - f.shivering_none_below);
        f.shivering * left.clamp(0.0, 1.0)
    }

    /// Least and most heat that the body can keep, W.
    fn balance_w(&self, core_k: f64, skin: &Skin) -> (f64, f64) {
        let f = self.figures;
        let skin_k = core_k - f.core_skin_below;
        let breath = |rho_cp, t_k| match self.breathes {
            true => respiratory_heat_w(self.rate.ventilation_m3_s(), rho_cp, t_k),
            false => 0.0,
        };
        let (lost_w, sweat_w) = match *skin {
            Skin::Kept => return (f64::NEG_INFINITY, f64::INFINITY),
            Skin::Gas(gas, vapour_pa) => {
                let (clothing, air) = CLOTHING_IN_AIR;
                let resistance = f.core_tissue
                    + clothing * air / gas.conductivity_w_mk
                    + 1.0 / (gas.film_w_m2k + RADIANT_W_M2K);
                let at_skin_pa = saturation_pa(skin_k);
                let dries = ((at_skin_pa - vapour_pa) / at_skin_pa).clamp(0.0, 1.0);
                let dry_w = SKIN_M2 * (skin_k - gas.t_k) / resistance;
                (
                    dry_w + breath(gas.rho_cp_j_m3k, gas.t_k).max(0.0),
                    f.sweating * dries,
                )
            }
            Skin::Water(t_k, rho_cp) => {
                let resistance = f.core_tissue + 1.0 / f.core_water_film;
                (
                    SKIN_M2 * (skin_k - t_k) / resistance + breath(rho_cp, t_k),
                    0.0,
                )
            }
        };
        let made_w = self.rate.heat_w - lost_w;
        (made_w - sweat_w, made_w + self.shivering_w(core_k))
    }

    /// How fast the core warms, K/s.
    fn warming_k_s(&self, core_k: f64, skin: &Skin) -> f64 {
        let f = self.figures;
        let (least_w, most_w) = self.balance_w(core_k, skin);
        let wanted_w = self.heat_j_k() * (f.core_rest - core_k) / f.core_regulation;
        wanted_w.clamp(least_w, most_w) / self.heat_j_k()
    }

    /// Temperature of the core after a span in unchanging surroundings, K.
    pub fn core_after(&self, mut core_k: f64, skin: &Skin, span_s: f64) -> f64 {
        let steps = (span_s / LONGEST_S).ceil().max(1.0);
        let step_s = span_s / steps;
        for _ in 0..steps as u32 {
            let half_k = core_k + 0.5 * step_s * self.warming_k_s(core_k, skin);
            core_k += step_s * self.warming_k_s(half_k, skin);
        }
        core_k
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_core::units::ZERO_C_K;

    /// No heat lost at all, 100 W, 75 kg: 2.2 h from 37 to 40 degC, against about two hours to collapse in a chamber
    /// of 31 to 32 degC saturated air (summary of Naval Submarine Medical Research Laboratory report 904).
    #[test]
    fn who_loses_no_heat_is_at_forty_in_about_two_hours() {
        let rate = Rate {
            o2_l_min: 0.3,
            co2_l_min: 0.26,
            ventilation_l_min: 0.0,
            heat_w: 100.0,
            water_g_h: 0.0,
        };
        let f = HarmFigures::built_in();
        let man = Heated {
            figures: f,
            mass_kg: 75.0,
            rate: &rate,
            breathes: true,
        };
        // A film that carries nothing, in saturated gas.
        let gas = Surroundings {
            t_k: f.core_rest - f.core_skin_below,
            rho_cp_j_m3k: 1200.0,
            film_w_m2k: 1e-9 - RADIANT_W_M2K,
            conductivity_w_mk: 0.026,
        };
        let skin = Skin::Gas(gas, 1e5);
        let mut core_k = f.core_rest;
        let mut seconds = 0;
        while core_k < ZERO_C_K + 40.0 {
            core_k = man.core_after(core_k, &skin, 1.0);
            seconds += 1;
        }
        let hours = f64::from(seconds) / 3600.0;
        assert!((1.5..=2.5).contains(&hours), "{hours}");
    }

    const RATE: Rate = Rate {
        o2_l_min: 0.3,
        co2_l_min: 0.26,
        ventilation_l_min: 8.0,
        heat_w: 105.0,
        water_g_h: 0.0,
    };

    fn man(breathes: bool) -> Heated<'static> {
        Heated {
            figures: HarmFigures::built_in(),
            mass_kg: 75.0,
            rate: &RATE,
            breathes,
        }
    }

    fn near(ours: f64, by_hand: f64, within: f64) {
        assert!((ours - by_hand).abs() < within, "{ours}, {by_hand}");
    }

    /// 300 W down to a core of 32 degC, nothing from 30 degC down, half of it between.
    #[test]
    fn shivering_fails_between_its_two_temperatures() {
        for (core_c, w) in [
            (37.0, 300.0),
            (32.0, 300.0),
            (31.0, 150.0),
            (30.5, 75.0),
            (30.0, 0.0),
            (28.0, 0.0),
        ] {
            near(man(true).shivering_w(ZERO_C_K + core_c), w, 1e-6);
        }
    }

    /// By hand, a core of 37 degC, so a skin of 35, in gas of 25 degC: the resistances of tissue, clothing (0.047 x 0.0264
    /// / 0.15) and film (1 / 14.7) are 0.1563 m2 K/W, and 1.8 m2 lose 115.16 W through them. 8 L/min of 10 kJ/(m3 K) are
    /// breathed out at 32 degC and wet: 20.26 W. Of 105 W made -30.42 W are left; 300 W of shivering add to it. In gas half
    /// as wet as the skin sweat takes off half of 600 W.
    #[test]
    fn what_a_body_can_keep_in_gas_is_the_sum_by_hand() {
        let gas = Surroundings {
            t_k: ZERO_C_K + 25.0,
            rho_cp_j_m3k: 1e4,
            film_w_m2k: 10.0,
            conductivity_w_mk: 0.15,
        };
        let core_k = ZERO_C_K + 37.0;
        let at_skin_pa = saturation_pa(ZERO_C_K + 35.0);
        near(at_skin_pa, 5617.6, 0.1);
        let balance =
            |breathes, vapour_pa| man(breathes).balance_w(core_k, &Skin::Gas(gas, vapour_pa));
        let (least_w, most_w) = balance(true, 0.5 * at_skin_pa);
        near(least_w, -330.42, 0.05);
        near(most_w, 269.58, 0.05);
        near(balance(false, 0.5 * at_skin_pa).1, 269.58 + 20.26, 0.05);
        near(balance(true, 0.0).0, -630.42, 0.05);
        // Nothing dries in gas as wet as the skin, or wetter.
        near(balance(true, at_skin_pa).0, -30.42, 0.05);
        near(balance(true, 2.0 * at_skin_pa).0, -30.42, 0.05);
    }

    /// Thick gas of 40 degC would give back 28.6 W in the breath by the formula: breath never warms a man in a chamber.
    #[test]
    fn warm_breath_is_not_reckoned_as_heat() {
        let gas = Surroundings {
            t_k: ZERO_C_K + 40.0,
            rho_cp_j_m3k: 1e5,
            film_w_m2k: 10.0,
            conductivity_w_mk: 0.15,
        };
        let balance = |breathes| man(breathes).balance_w(ZERO_C_K + 37.0, &Skin::Gas(gas, 1e4));
        assert_eq!(balance(true), balance(false));
    }

    /// By hand, in water of 5 degC: 1.8 m2, 30 K and 0.08 + 1/100 m2 K/W are 600 W, and the breath 35.17 W. Of 105 W made
    /// -530.17 W are left, and 300 W more with shivering; nobody sweats in water. 75 kg of 3,490 J/(kg K) then cool by
    /// 230.17 W, 8.794e-4 K/s.
    #[test]
    fn what_a_body_can_keep_in_water_is_the_sum_by_hand() {
        let water = Skin::Water(ZERO_C_K + 5.0, 1e4);
        let core_k = ZERO_C_K + 37.0;
        let (least_w, most_w) = man(true).balance_w(core_k, &water);
        near(least_w, -530.17, 0.05);
        near(most_w, -230.17, 0.05);
        near(man(false).balance_w(core_k, &water).0, -495.0, 1e-6);
        near(man(true).warming_k_s(core_k, &water), -8.794e-4, 1e-7);
        near(
            man(true).core_after(core_k, &water, 1.0),
            core_k - 8.794e-4,
            1e-6,
        );
    }

    /// A core that nothing holds comes back with a time constant of half an hour: of a degree 0.36788 is left after it, in
    /// one span or in many.
    #[test]
    fn a_core_comes_back_by_its_time_constant() {
        let f = HarmFigures::built_in();
        let left_k = |span_s: f64, times: usize| {
            let core_k = (0..times).fold(f.core_rest - 1.0, |core_k, _| {
                man(true).core_after(core_k, &Skin::Kept, span_s)
            });
            f.core_rest - core_k
        };
        near(left_k(1800.0, 1), 0.367_88, 1e-4);
        near(left_k(100.0, 18), 0.367_88, 1e-4);
        near(left_k(1.0, 1800), 0.367_88, 1e-4);
        near(left_k(7200.0, 1), 0.01832, 1e-4);
    }
}
