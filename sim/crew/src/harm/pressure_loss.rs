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

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_core::units::ATM_PA;

    fn near(ours: f64, by_hand: f64) {
        assert!((ours / by_hand - 1.0).abs() < 1e-5, "{ours}, {by_hand}");
    }

    /// By hand: half the way to a steady pressure in the half-time of 240 min. Where the pressure goes from 1 to 2 bar in
    /// that time, the tissue lags by 1/ln 2 = 1.442695 bar once the start is gone: 2 - 1.442695 + 1.442695/2 bar.
    #[test]
    fn a_tissue_follows_by_its_half_time() {
        let f = HarmFigures::built_in();
        near(saturated_after(f, 1e5, 2e5, 2e5, 14_400.0), 1.5e5);
        near(saturated_after(f, 1e5, 1e5, 2e5, 14_400.0), 1.278_652e5);
    }

    /// By hand: from 60 to 40 msw are 65.137 fsw, and from 130.274 fsw the allowed excursion is the root of 829 + 25.34 x
    /// 130.274, 64.266 fsw: 1.013549 of it. Nothing is lost where the pressure rises.
    #[test]
    fn a_loss_is_a_multiple_of_the_allowed_excursion() {
        let f = HarmFigures::built_in();
        let over = |to_msw: f64| over_allowed(f, ATM_PA + 60e4, ATM_PA + to_msw * 1e4, ATM_PA);
        near(over(40.0), 1.013_549_4);
        assert_eq!(over(61.0), 0.0);
    }

    /// The pair that the law was made from: 2 % at the allowed excursion of 25.5 fsw, about 27 % at 29.5 fsw. By hand 49 to
    /// the twentieth root, 1.214814, hits half.
    #[test]
    fn as_many_are_hit_as_the_law_says_and_a_place_is_its_inverse() {
        let f = HarmFigures::built_in();
        near(hit_chance(f, 1.0), 0.02);
        near(hit_chance(f, 29.5 / 25.5), 0.273_371_4);
        near(hit_chance(f, 1.214_814), 0.5);
        assert_eq!((hit_chance(f, 0.0), hit_chance(f, 1e30)), (0.0, 1.0));
        near(hit_from(f, 0.5), 1.214_814);
        near(hit_from(f, 0.02), 1.0);
        near(hit_chance(f, hit_from(f, 0.9)), 0.9);
        assert_eq!(hit_from(f, 0.0), 0.0);
        assert_eq!(hit_chance(f, hit_from(f, 1.0)), 1.0);
    }

    /// Excursions of 45 fsw of people whose allowed one is 25.5 fsw were judged safe for 30 min: a quarter of an hour is
    /// half a dose, of one who stands twice as long a quarter. An hour after recompression 1/e of it is left.
    #[test]
    fn the_dose_grows_by_the_clock_and_falls_back() {
        let f = HarmFigures::built_in();
        let over = 45.0 / 25.5;
        near(loss_dose(f, 0.0, over, true, 1.0, 900.0), 0.5);
        near(loss_dose(f, 0.0, over, true, 2.0, 900.0), 0.25);
        near(loss_dose(f, 0.25, over, true, 1.0, 900.0), 0.75);
        assert_eq!(loss_dose(f, 0.75, over, true, 1.0, 900.0), 1.0);
        near(loss_dose(f, 0.5, over, false, 1.0, 3600.0), 0.183_939_7);
    }
}
