//! The band within which nothing that is breathed or felt brings a man nearer to harm.

use super::blood::carbon_dioxide_share;
use super::core_temperature::Skin;
use super::low_oxygen::BREATH_VAPOUR_PA;
use super::nature::Man;
use super::pressure_loss::{over_allowed, pressure_at};
use crate::tally::Air;
use deepstay_core::units::{ATM_PA, ZERO_C_K};

/// How far inside the first threshold an edge lies, so that a body is followed closely before it is reached.
const SHARE: f64 = 0.85;
/// Gas between these keeps a body's temperature, or lets it go by less than two degrees an hour, K (house rule).
const T_K: (f64, f64) = (ZERO_C_K + 20.0, ZERO_C_K + 36.0);

/// So little contaminant never takes more than a few percent of the blood, Pa: 5 ppm of the air at the surface, over
/// its half-life at hard work (derived).
const TRACE_PA: f64 = 5e-6 * ATM_PA;

/// The edges of that band for one diver as he is now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edges {
    /// Least oxygen breathed, Pa.
    pub ppo2_low_pa: f64,
    /// Most oxygen breathed, Pa.
    pub ppo2_high_pa: f64,
    /// Most carbon dioxide breathed, Pa.
    pub ppco2_pa: f64,
    /// Least and most temperature of gas round him, K; none where he keeps his.
    pub t_k: Option<(f64, f64)>,
}

impl Edges {
    /// For a diver in the gas he breathes now.
    pub(crate) fn of(man: &Man, air: &Air) -> Edges {
        let f = man.figures;
        let lung_pa = f
            .slow_below_at_work
            .max(f.low_oxygen_below)
            .max(f.confused_below)
            / SHARE;
        let reaches = 1.0 - BREATH_VAPOUR_PA / air.p_pa.max(2.0 * BREATH_VAPOUR_PA);
        let share = SHARE * f.dioxide_slow.min(f.dioxide_from);
        let kept_in = carbon_dioxide_share(f, 0.0, air.density_kg_m3, man.effort);
        Edges {
            ppo2_low_pa: lung_pa / reaches,
            ppo2_high_pa: f.seizure_above,
            ppco2_pa: (share - kept_in) * ATM_PA,
            t_k: matches!(air.skin, Skin::Gas(..)).then_some(T_K),
        }
    }

    /// Least pressure at which a man saturated at another is well within what does not hit him, Pa.
    pub(crate) fn pressure_pa(man: &Man, saturated_pa: f64) -> f64 {
        let of_allowed = SHARE * man.nature.loss;
        pressure_at(man.figures, saturated_pa, man.surface_pa, of_allowed)
    }

    /// Whether a pressure is well within what does not hit a man saturated at another.
    pub(crate) fn holds_pressure(man: &Man, saturated_pa: f64, p_pa: f64) -> bool {
        over_allowed(man.figures, saturated_pa, p_pa, man.surface_pa) < SHARE * man.nature.loss
    }

    /// Whether what a diver breathes and feels lies within.
    pub fn hold(&self, air: &Air) -> bool {
        air.flows
            && air.ppo2_pa > self.ppo2_low_pa
            && air.ppo2_pa < self.ppo2_high_pa
            && air.ppco2_pa < self.ppco2_pa
            && air.trace_pa < TRACE_PA
            && match (air.skin, self.t_k) {
                (Skin::Kept, _) => true,
                (Skin::Gas(gas, _), Some((low_k, high_k))) => low_k < gas.t_k && gas.t_k < high_k,
                (Skin::Gas(..), None) | (Skin::Water(..), _) => false,
            }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Surroundings;
    use crate::harm::body::tests::man as average;
    use crate::harm::{Effort, HarmFigures, Nature};
    use deepstay_core::gas::Amounts;
    use deepstay_core::units::BAR_PA;

    fn man(effort: Effort, loss: f64) -> Man<'static> {
        let figures = HarmFigures::built_in();
        Man {
            nature: Nature::drawn(figures, 0.0, 0.0, loss),
            ..average(figures, effort)
        }
    }

    fn gas(p_pa: f64) -> Air {
        Air {
            density_kg_m3: 5.3,
            ..Air::of(&Amounts::heliox(0.04), p_pa, 303.0)
        }
    }

    fn near(ours: f64, by_hand: f64) {
        assert!((ours / by_hand - 1.0).abs() < 1e-6, "{ours}, {by_hand}");
    }

    /// By hand: 0.16 bar in the lung slows a man at hard work, and the edge lies where 0.85 of what is in it is that,
    /// 0.188235 bar. At 12 bar water vapour takes 0.0627/12 of what is breathed, so 0.189224 bar; at 0.1 bar it takes half at
    /// the most, so 0.376471 bar. 0.85 of 3 % carbon dioxide are 2.55 %, of which gas of 5.3 kg/m3 keeps in 1.802 % at hard
    /// work.
    #[test]
    fn the_edges_by_hand() {
        let deep = Edges::of(&man(Effort::Rest, 0.5), &gas(12.0 * BAR_PA));
        near(deep.ppo2_low_pa, 0.189_224_04 * BAR_PA);
        near(deep.ppo2_high_pa, ATM_PA);
        near(deep.ppco2_pa, 0.0255 * ATM_PA);
        assert_eq!(deep.t_k, None);
        let thin = Edges::of(&man(Effort::Rest, 0.5), &gas(0.1 * BAR_PA));
        near(thin.ppo2_low_pa, 0.376_470_59 * BAR_PA);
        let at_work = Edges::of(&man(Effort::Hard, 0.5), &gas(12.0 * BAR_PA));
        near(at_work.ppco2_pa, (0.0255 - 0.018_02) * ATM_PA);
    }

    /// By hand, saturated at 80 msw (260.545 fsw): 0.85 of the loss that hits half of people, 1.214814 times the allowed
    /// excursion, is 1.032592 times. The depth d in fsw at which 260.545 - d is that times the root of 829 + 25.34 d solves
    /// a square equation: 56.5035 msw. It is found to a pascal, from the safe side.
    #[test]
    fn the_least_pressure_solves_the_square_equation() {
        let (man, saturated_pa) = (man(Effort::Rest, 0.5), ATM_PA + 80e4);
        let edge_pa = Edges::pressure_pa(&man, saturated_pa);
        let by_hand_pa = 666_360.285;
        assert!(
            (by_hand_pa..by_hand_pa + 1.0).contains(&edge_pa),
            "{edge_pa}"
        );
        assert!(Edges::holds_pressure(&man, saturated_pa, by_hand_pa + 1.0));
        assert!(!Edges::holds_pressure(&man, saturated_pa, by_hand_pa - 1.0));
    }

    /// Whom the least loss hits is never well within, not even at the pressure he is saturated at.
    #[test]
    fn whom_anything_hits_is_never_well_within() {
        let man = man(Effort::Rest, 0.0);
        assert!(!Edges::holds_pressure(&man, 5e5, 5e5));
    }

    /// On an edge he is not within any more; the next number on its good side is within. Gas round him is borne between 20 and
    /// 36 degC, and contaminant under 5 ppm of the air at the surface, 0.506625 Pa.
    #[test]
    fn an_edge_is_not_within() {
        let of = |t_k: f64| {
            let gas = Surroundings {
                t_k,
                rho_cp_j_m3k: 1e4,
                film_w_m2k: 10.0,
                conductivity_w_mk: 0.15,
            };
            Skin::Gas(gas, 0.0)
        };
        let in_cold_gas = Air {
            skin: of(280.0),
            ..gas(12.0 * BAR_PA)
        };
        let edges = Edges {
            ppo2_low_pa: 2e4,
            ppo2_high_pa: 1e5,
            ppco2_pa: 2e3,
            ..Edges::of(&man(Effort::Rest, 0.5), &in_cold_gas)
        };
        let good = Air {
            ppo2_pa: 4e4,
            skin: of(300.0),
            ..gas(12.0 * BAR_PA)
        };
        let with = |change: &dyn Fn(&mut Air)| {
            let mut air = good;
            change(&mut air);
            edges.hold(&air)
        };
        assert!(with(&|_| {}));
        assert!(!with(&|a| a.flows = false));
        assert!(!with(&|a| a.ppo2_pa = 2e4) && with(&|a| a.ppo2_pa = 2e4_f64.next_up()));
        assert!(!with(&|a| a.ppo2_pa = 1e5) && with(&|a| a.ppo2_pa = 1e5_f64.next_down()));
        assert!(!with(&|a| a.ppco2_pa = 2e3) && with(&|a| a.ppco2_pa = 2e3_f64.next_down()));
        assert!(!with(&|a| a.trace_pa = 5e-6 * ATM_PA) && with(&|a| a.trace_pa = 0.506_62));
        let (low_k, high_k) = (293.15, 309.15);
        assert!(!with(&|a| a.skin = of(low_k)) && with(&|a| a.skin = of(low_k.next_up())));
        assert!(!with(&|a| a.skin = of(high_k)) && with(&|a| a.skin = of(high_k.next_down())));
        assert!(with(&|a| a.skin = Skin::Kept));
        assert!(!with(&|a| a.skin = Skin::Water(278.0, 1e4)));
    }
}
