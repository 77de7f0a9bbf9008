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

#[cfg(test)]
mod tests {
    use super::*;

    fn near(ours: f64, by_hand: f64) {
        assert!((ours / by_hand - 1.0).abs() < 1e-3, "{ours}, {by_hand}");
    }

    /// The limits of the fire-safety sources: 40 % at rest, 30 % at light work, 20 % at hard work.
    #[test]
    fn who_works_stands_less_carbon_monoxide() {
        let f = HarmFigures::built_in();
        let limits = [Effort::Rest, Effort::Light, Effort::Hard].map(|e| monoxide_limit(f, e));
        assert_eq!(limits, [0.40, 0.30, 0.20]);
    }

    /// By hand: half is left after the half-life of 210 min (12,600 s), a quarter after two; with 1e-5 a second taken up
    /// it goes towards 1e-5 x 12,600 / ln 2 = 0.18178, half the way in a half-life; and never past the whole.
    #[test]
    fn haemoglobin_comes_back_by_its_half_life() {
        let f = HarmFigures::built_in();
        near(haemoglobin_after(f, 0.2, 0.0, 12_600.0), 0.1);
        near(haemoglobin_after(f, 0.2, 0.0, 25_200.0), 0.05);
        near(haemoglobin_after(f, 0.0, 1e-5, 12_600.0), 0.090_888);
        assert_eq!(haemoglobin_after(f, 0.9, 1.0, 60.0), 1.0);
    }

    /// What is breathed over the atmosphere; at hard work 0.34 % more for each kg/m3 (the figure's one study), so at
    /// 5.3 kg/m3 1.8 % more.
    #[test]
    fn thick_gas_keeps_carbon_dioxide_in_at_hard_work_alone() {
        let f = HarmFigures::built_in();
        let share = |effort| carbon_dioxide_share(f, 0.02 * ATM_PA, 5.3, effort);
        near(share(Effort::Rest), 0.02);
        near(share(Effort::Light), 0.02);
        near(share(Effort::Hard), 0.02 + 0.018_02);
    }

    /// The fire-safety law, exp(6.1623 - 0.5189 c) minutes: 753.2 s at 7 %; half of it at hard work, and never less than
    /// 20 s.
    #[test]
    fn the_time_at_seven_percent_is_the_laws_and_halves_at_work() {
        let f = HarmFigures::built_in();
        let time_s = |share, effort| carbon_dioxide_time_s(f, share, effort);
        near(time_s(0.07, Effort::Rest), 753.21);
        near(time_s(0.07, Effort::Light), 753.21);
        near(time_s(0.07, Effort::Hard), 376.61);
        assert_eq!(time_s(0.25, Effort::Rest), 20.0);
    }

    /// Half of those 753.2 s are half a dose; a man who stands twice as long has a quarter. From 5 % on it grows, just
    /// below it falls by a time constant of 300 s: half a dose is 0.5/e = 0.18394 after it.
    #[test]
    fn the_dose_grows_with_the_law_and_falls_back() {
        let f = HarmFigures::built_in();
        let dose = |dose, share, times, span_s| {
            carbon_dioxide_dose(f, dose, share, Effort::Rest, times, span_s)
        };
        near(dose(0.0, 0.07, 1.0, 376.61), 0.5);
        near(dose(0.0, 0.07, 2.0, 376.61), 0.25);
        assert_eq!(dose(0.9, 0.07, 1.0, 376.61), 1.0);
        assert!(dose(0.5, 0.05, 1.0, 1.0) > 0.5);
        assert!(dose(0.5, 0.05_f64.next_down(), 1.0, 1.0) < 0.5);
        near(dose(0.5, 0.0, 1.0, 300.0), 0.183_94);
    }

    /// exp(0.1903 c): 1.463 times at 2 %, 2.590 times at 5 %.
    #[test]
    fn who_breathes_carbon_dioxide_breathes_more() {
        let f = HarmFigures::built_in();
        assert_eq!(breathes_times(f, 0.0), 1.0);
        near(breathes_times(f, 0.02 * ATM_PA), 1.463_2);
        near(breathes_times(f, 0.05 * ATM_PA), 2.589_6);
    }
}
