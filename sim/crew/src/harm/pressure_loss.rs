//! Lost pressure: what the tissues are saturated at, how far the pressure has fallen below it, whom that hits, and
//! how soon recompression is late.

use super::figures::{FSW_MSW, HarmFigures};
use deepstay_core::units::MSW_PA;

/// Pressure the slowest tissue is saturated at after a span in which the pressure goes straight from one value to
/// another, Pa: exact.
pub fn saturated_after(
    f: &HarmFigures,
    start_pa: f64,
    from_pa: f64,
    to_pa: f64,
    span_s: f64,
) -> f64 {
    let tau_s = f.loss_half_time / libm::log(2.0);
    let lag_pa = (to_pa - from_pa) / span_s * tau_s;
    to_pa - lag_pa + (start_pa - from_pa + lag_pa) * libm::exp(-span_s / tau_s)
}

/// How far a pressure lies below what a man is saturated at, as a multiple of the allowed excursion.
pub fn over_allowed(f: &HarmFigures, saturated_pa: f64, p_pa: f64, surface_pa: f64) -> f64 {
    let lost_fsw = (saturated_pa - p_pa) / MSW_PA / FSW_MSW;
    lost_fsw.max(0.0) / f.excursion_fsw((p_pa - surface_pa) / MSW_PA)
}

/// Share of people hit by a loss of so many times the allowed excursion.
pub fn hit_chance(f: &HarmFigures, over_allowed: f64) -> f64 {
    let power = libm::pow(over_allowed, f.loss_exponent);
    if power.is_infinite() {
        return 1.0;
    }
    power / (power + f.loss_constant)
}

/// The multiple of the allowed excursion that hits the man of a place, 0 to 1, among people.
pub fn hit_from(f: &HarmFigures, place: f64) -> f64 {
    let odds = place / (1.0 - place).max(f64::MIN_POSITIVE);
    libm::pow(f.loss_constant * odds, 1.0 / f.loss_exponent)
}

/// Time until recompression is late, s, for a loss of so many times the allowed excursion.
pub fn late_after_s(f: &HarmFigures, over_allowed: f64) -> f64 {
    let fsw = |msw: f64| msw / FSW_MSW;
    let beyond_fsw = over_allowed * fsw(f.loss_clock_allowed) - fsw(f.loss_clock_at);
    f.loss_clock * libm::exp(-f.loss_clock_per_fsw * beyond_fsw)
}

/// Dose of lost pressure after a span.
pub fn loss_dose(
    f: &HarmFigures,
    dose: f64,
    over_allowed: f64,
    hit: bool,
    times: f64,
    span_s: f64,
) -> f64 {
    if hit {
        (dose + span_s / (late_after_s(f, over_allowed) * times)).min(f.dose_out)
    } else {
        dose * libm::exp(-span_s / f.loss_recovery)
    }
}

/// How far above the pressure that is looked for one may be found, Pa.
const ENOUGH_PA: f64 = 1.0;

/// The pressure at which a man of a place is a share of the way to being hit, Pa, by what he is saturated at.
pub fn pressure_at(f: &HarmFigures, saturated_pa: f64, surface_pa: f64, of_allowed: f64) -> f64 {
    // The allowed excursion goes by the depth that is left: found by halving, from the safe side.
    let (mut low, mut high) = (0.0, saturated_pa);
    for _ in 0..48 {
        if high - low < ENOUGH_PA {
            break;
        }
        let middle = 0.5 * (low + high);
        if over_allowed(f, saturated_pa, middle, surface_pa) > of_allowed {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
