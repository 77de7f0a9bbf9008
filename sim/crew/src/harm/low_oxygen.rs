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

#[cfg(test)]
mod tests {
    use super::*;

    fn near(ours: f64, by_hand: f64, share: f64) {
        assert!((ours / by_hand - 1.0).abs() < share, "{ours}, {by_hand}");
    }

    /// By hand: from 0.40 to 0.10 bar in 60 s, followed with 30 s: the lung lags by 0.15 bar once what it began with is
    /// gone. Halfway 0.25 + 0.15 - 0.15/e = 0.344818 bar, at the end 0.10 + 0.15 - 0.15/e2 = 0.229700 bar. One that began
    /// 0.05 bar higher has 0.05/e more.
    #[test]
    fn a_lung_lags_behind_what_is_breathed() {
        let lung = Lung::Breathes {
            from_pa: 0.40 * BAR_PA,
            to_pa: 0.10 * BAR_PA,
            washout_s: 30.0,
        };
        let at = |start_bar: f64, t_s| lung.after(start_bar * BAR_PA, t_s, 60.0) / BAR_PA;
        near(at(0.40, 30.0), 0.344_818_08, 1e-7);
        near(at(0.40, 60.0), 0.229_699_71, 1e-7);
        near(at(0.45, 30.0), 0.344_818_08 + 0.018_393_97, 1e-7);
    }

    /// A lung that nothing reaches loses 200 Pa a second: 10 kPa of 40 in 50 s, and never more than it has.
    #[test]
    fn a_lung_without_gas_gives_what_it_has() {
        let lung = Lung::Holds { taken_pa_s: 200.0 };
        assert_eq!(lung.after(40e3, 50.0, 60.0), 30e3);
        assert_eq!(lung.after(40e3, 60.0, 60.0), 28e3);
        assert_eq!(lung.after(40e3, 300.0, 300.0), 0.0);
    }

    /// A second in which the lung falls straight from 0.10 to 0.05 bar, by quadrature of 1/exp(1.233 + 0.06566 mbar):
    /// 3.2052e-3 of what takes a man at rest out; half of it of one who stands twice as long.
    #[test]
    fn a_second_is_summed_over_its_parts() {
        let f = HarmFigures::built_in();
        let lung = Lung::Holds { taken_pa_s: 5e3 };
        let dose = |times| dose_after_second(f, 0.0, &lung, 10e3, Effort::Rest, times);
        near(dose(1.0), 3.205_15e-3, 0.01);
        near(dose(2.0), 0.5 * 3.205_15e-3, 0.01);
    }

    /// At the figure's 0.110 bar the dose falls back, by a time constant of 60 s: half of one is 0.5/e after it. Just below
    /// it grows.
    #[test]
    fn at_the_edge_a_dose_falls_back() {
        let f = HarmFigures::built_in();
        let steady = |lung_pa: f64| Lung::Breathes {
            from_pa: lung_pa,
            to_pa: lung_pa,
            washout_s: 30.0,
        };
        let below_pa = f.low_oxygen_below;
        let second = |dose, lung_pa| {
            dose_after_second(f, dose, &steady(lung_pa), lung_pa, Effort::Rest, 1.0)
        };
        let minute = (0..60).fold(0.5, |dose, _| second(dose, below_pa));
        near(minute, 0.5 / std::f64::consts::E, 1e-9);
        assert!(second(0.5, below_pa.next_down()) > 0.5);
    }
}
