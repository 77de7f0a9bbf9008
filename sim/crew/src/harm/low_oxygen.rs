//! Too little oxygen: what reaches the lung, how it washes out, and how long a man is of use at that.

use super::figures::HarmFigures;
use super::nature::Effort;
use deepstay_core::units::BAR_PA;

/// Water vapour in the breath at 37 degC, Pa.
pub const BREATH_VAPOUR_PA: f64 = 6_270.0;
const MBAR_PA: f64 = 1e-3 * BAR_PA;
/// Parts of a second in which the dose is summed.
const PARTS: u32 = 8;

/// Oxygen that reaches the lung of one who breathes it at a pressure, Pa: water vapour takes its share.
pub fn in_lung_pa(ppo2_pa: f64, p_pa: f64) -> f64 {
    ppo2_pa * (1.0 - BREATH_VAPOUR_PA / p_pa.max(BREATH_VAPOUR_PA))
}

/// Useful time at a steady oxygen in the lung, s.
pub fn useful_time_s(f: &HarmFigures, lung_pa: f64, effort: Effort) -> f64 {
    let work = match effort {
        Effort::Light | Effort::Hard => f.useful_time_at_work,
        Effort::Rest => 1.0,
    };
    let law = libm::exp(f.useful_time_constant + f.useful_time_per_mbar * lung_pa / MBAR_PA);
    (law * work).max(f.useful_time_floor)
}

/// Time constant of the lung, s.
pub fn washout_s(f: &HarmFigures, effort: Effort) -> f64 {
    match effort {
        Effort::Rest => f.washout_rest,
        Effort::Light => f.washout_light,
        Effort::Hard => f.washout_hard,
    }
}

/// What happens in the lung over a span.
#[derive(Clone, Copy, Debug)]
pub enum Lung {
    /// It follows what is breathed, which goes straight from one value to another, Pa.
    Breathes {
        /// At the start, Pa.
        from_pa: f64,
        /// At the end, Pa.
        to_pa: f64,
        /// Time constant, s.
        washout_s: f64,
    },
    /// Nothing comes: the body lives on what is there, Pa/s.
    Holds {
        /// What the body takes of it, Pa/s.
        taken_pa_s: f64,
    },
}

impl Lung {
    /// Oxygen in the lung after `t_s` of a span of `span_s` that began with `start_pa`, Pa: exact.
    pub fn after(&self, start_pa: f64, t_s: f64, span_s: f64) -> f64 {
        match *self {
            Lung::Breathes {
                from_pa,
                to_pa,
                washout_s,
            } => {
                let lag_pa = (to_pa - from_pa) / span_s * washout_s;
                let breathed_pa = from_pa + (to_pa - from_pa) * t_s / span_s;
                let off_pa = start_pa - from_pa + lag_pa;
                breathed_pa - lag_pa + off_pa * libm::exp(-t_s / washout_s)
            }
            Lung::Holds { taken_pa_s } => (start_pa - taken_pa_s * t_s).max(0.0),
        }
    }
}

/// Dose of low oxygen after one second: grown by the useful time's inverse below the figure's oxygen, and fallen
/// back above it; never over what takes a man out.
pub fn dose_after_second(
    f: &HarmFigures,
    mut dose: f64,
    lung: &Lung,
    start_pa: f64,
    effort: Effort,
    times: f64,
) -> f64 {
    let part_s = 1.0 / f64::from(PARTS);
    for k in 0..PARTS {
        let lung_pa = lung.after(start_pa, (f64::from(k) + 0.5) * part_s, 1.0);
        if lung_pa < f.low_oxygen_below {
            dose += part_s / (useful_time_s(f, lung_pa, effort) * times);
        } else {
            dose *= libm::exp(-part_s / f.low_oxygen_recovery);
        }
    }
    dose.min(f.dose_out)
}
