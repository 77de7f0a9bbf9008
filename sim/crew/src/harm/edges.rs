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
