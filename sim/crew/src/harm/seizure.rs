//! Oxygen on the brain: a dose that grows with a power of the pressure, and a person's own place on its law.

use super::figures::HarmFigures;
use deepstay_core::units::ATM_PA;

/// Dose of oxygen after a span in which the partial pressure goes straight from one value to another, minutes and
/// atmospheres: grown above the figure's pressure by the power of the mean, fallen back below it.
pub fn seizure_dose_step(
    f: &HarmFigures,
    dose: f64,
    from_pa: f64,
    to_pa: f64,
    minutes: f64,
) -> f64 {
    let mean_pa = 0.5 * (from_pa + to_pa);
    if mean_pa >= f.seizure_above {
        dose + libm::pow(mean_pa / ATM_PA, f.seizure_exponent) * minutes
    } else {
        dose * libm::exp(-f.seizure_recovery_min * minutes)
    }
}

/// Where a dose stands among people, in standard deviations.
pub fn place(f: &HarmFigures, dose: f64) -> f64 {
    if dose <= 0.0 {
        return f64::NEG_INFINITY;
    }
    (libm::log(dose) - f.seizure_mean) / f.seizure_spread
}

/// Share of people who have signs at a dose.
pub fn seizure_chance(f: &HarmFigures, dose: f64) -> f64 {
    normal(place(f, dose))
}

/// How much further, in standard deviations, a dose must go to convulse the man whom it gives signs: such that at the
/// share of signs where convulsions were counted as many of them convulse as were counted. So a dose without end
/// convulses everybody, which a fixed share of those with signs would not.
pub fn beyond_signs(f: &HarmFigures, dry_at_rest: bool) -> f64 {
    let share = f.seizure_share * if dry_at_rest { f.seizure_dry } else { 1.0 };
    normal_place(f.seizure_share_at) - normal_place(f.seizure_share_at * share)
}

fn normal(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// The inverse of [`normal`], by halving.
fn normal_place(share: f64) -> f64 {
    let (mut low, mut high) = (-12.0, 12.0);
    for _ in 0..64 {
        let middle = 0.5 * (low + high);
        if normal(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_many_convulse_as_were_counted_where_they_were_counted() {
        let f = HarmFigures::built_in();
        let at = normal_place(0.071);
        let wet = normal(at - beyond_signs(f, false)) / normal(at);
        let dry = normal(at - beyond_signs(f, true)) / normal(at);
        assert!((wet - 0.06).abs() < 1e-6, "{wet}");
        assert!((dry - 0.012).abs() < 1e-6, "{dry}");
    }
}
