//! Carbon monoxide and carbon dioxide: what the blood takes up, and how long a man stands it.

use super::figures::HarmFigures;
use super::nature::Effort;
use deepstay_core::units::ATM_PA;

/// Carbon monoxide taken up far below its equilibrium, percent of haemoglobin a minute: surface-equivalent ppm and
/// litres breathed a minute.
pub fn haemoglobin_percent_min(f: &HarmFigures, ppm: f64, breathed_l_min: f64) -> f64 {
    if ppm <= 0.0 {
        return 0.0;
    }
    f.monoxide_rate * libm::pow(ppm, f.monoxide_exponent) * breathed_l_min
}

/// Share of haemoglobin at which a man is out.
pub fn monoxide_limit(f: &HarmFigures, effort: Effort) -> f64 {
    match effort {
        Effort::Rest => f.monoxide_limit_rest,
        Effort::Light => f.monoxide_limit_light,
        Effort::Hard => f.monoxide_limit_hard,
    }
}

/// Share of haemoglobin lost to carbon monoxide after a span: taken up steadily, given off with its half-life.
pub fn haemoglobin_after(f: &HarmFigures, share: f64, taken_s: f64, span_s: f64) -> f64 {
    let rate = libm::log(2.0) / f.monoxide_half_life;
    let steady = taken_s / rate;
    (steady + (share - steady) * libm::exp(-rate * span_s)).min(1.0)
}

/// What carbon dioxide is worth, as a share of the air at the surface: what is breathed, and at hard work what the
/// density of the gas keeps in.
pub fn carbon_dioxide_share(f: &HarmFigures, pa: f64, density_kg_m3: f64, effort: Effort) -> f64 {
    let kept_in = match effort {
        Effort::Hard => 0.01 * f.dioxide_by_density * density_kg_m3,
        Effort::Rest | Effort::Light => 0.0,
    };
    pa / ATM_PA + kept_in
}

/// Time to out at a steady share of carbon dioxide, s.
pub fn carbon_dioxide_time_s(f: &HarmFigures, share: f64, effort: Effort) -> f64 {
    let work = match effort {
        Effort::Hard => f.dioxide_at_work,
        Effort::Rest | Effort::Light => 1.0,
    };
    let minutes = libm::exp(f.dioxide_constant - f.dioxide_per_percent * 100.0 * share);
    (60.0 * minutes * work).max(f.dioxide_floor)
}

/// Dose of carbon dioxide after a span of a steady share.
pub fn carbon_dioxide_dose(
    f: &HarmFigures,
    dose: f64,
    share: f64,
    effort: Effort,
    times: f64,
    span_s: f64,
) -> f64 {
    if share >= f.dioxide_from {
        let time_s = carbon_dioxide_time_s(f, share, effort) * times;
        (dose + span_s / time_s).min(f.dose_out)
    } else {
        dose * libm::exp(-span_s / f.dioxide_recovery)
    }
}

/// How many times as much a man breathes for carbon dioxide in his gas as without any.
pub fn breathes_times(f: &HarmFigures, pa: f64) -> f64 {
    libm::exp(f.breathing_per_percent * 100.0 * pa / ATM_PA)
}
