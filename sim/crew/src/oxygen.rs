//! Oxygen dose as published indices: shown, never prescribed.
//!
//! None of them is a limit here. The unit pulmonary dose is zero up to 0.5 atm, where living chambers
//! are kept; the index for saturation speaks of just that range and has a trap of its own.

/// Partial pressure of oxygen above which the unit pulmonary dose counts, atm.
pub const UPTD_FROM_ATM: f64 = 0.5;
/// Time at which the saturation index peaks, h: 2 / 0.0135. Past it the formula falls, so it cannot be
/// a dose.
pub const PULMONARY_PEAK_H: f64 = 2.0 / 0.0135;

/// Unit pulmonary toxic dose per minute at a steady partial pressure of oxygen: ((p - 0.5) / 0.5)^(5/6)
/// with p in atm (formula as printed with the tables of unit pulmonary doses, seen; exponent 0.833
/// there). Its published table rounds 0.26 at 0.6 atm to 0.27. Later measurements at 1.5 to 2.5 bar do
/// not follow it: an index only.
pub fn uptd_per_min(p_atm: f64) -> f64 {
    if p_atm <= UPTD_FROM_ATM {
        0.0
    } else {
        libm::pow((p_atm - 0.5) / 0.5, 5.0 / 6.0)
    }
}

/// Unit pulmonary toxic dose of a partial pressure that goes straight from one value to another, atm,
/// over a time in minutes; exact.
pub fn uptd_ramp(from_atm: f64, to_atm: f64, minutes: f64) -> f64 {
    if (to_atm - from_atm).abs() < 1e-3 {
        // Simpson's rule: over so small a step the difference of powers would lose its digits.
        let middle = uptd_per_min((from_atm + to_atm) / 2.0);
        return minutes * (uptd_per_min(from_atm) + 4.0 * middle + uptd_per_min(to_atm)) / 6.0;
    }
    let power = |p: f64| {
        if p <= UPTD_FROM_ATM {
            0.0
        } else {
            libm::pow(2.0 * p - 1.0, 11.0 / 6.0)
        }
    };
    minutes * (3.0 / 11.0) * (power(to_atm) - power(from_atm)) / (to_atm - from_atm)
}

/// Single-exposure limits for the central nervous system: (partial pressure in atm, minutes). Second-hand
/// (a copy of the printed table, 0.6 to 1.2 atm); rows past 1.2 atm were not seen and are not made up.
pub const CNS_SINGLE: [(f64, f64); 7] = [
    (0.6, 720.0),
    (0.7, 570.0),
    (0.8, 450.0),
    (0.9, 360.0),
    (1.0, 300.0),
    (1.1, 240.0),
    (1.2, 210.0),
];

/// Share of the single-exposure limit used per minute: nothing up to 0.5 atm, else by the printed row at
/// or next above the partial pressure. `None` past the last row.
pub fn cns_per_min(p_atm: f64) -> Option<f64> {
    if p_atm <= UPTD_FROM_ATM {
        return Some(0.0);
    }
    CNS_SINGLE
        .iter()
        .find(|(row, _)| p_atm <= row + 1e-9)
        .map(|(_, minutes)| 1.0 / minutes)
}

/// Loss of vital capacity in percent after a steady exposure without break: 0.0082 t^2 (p/101.3)^4.57, t
/// in hours, p in kPa (Arieli and others, J. Appl. Physiol. 2002, 92:248, abstract seen).
pub fn vital_capacity_loss_percent(hours: f64, p_kpa: f64) -> f64 {
    0.0082 * hours * hours * libm::pow(p_kpa / 101.3, 4.57)
}

/// The pulmonary index for saturation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PulmonaryIndex {
    /// The index: t^2 p^4.57 exp(-0.0135 t), t in hours, p in bar.
    pub k: f64,
    /// Incidence of signs in percent that goes with it: 1.85 + 0.171 K.
    pub incidence_percent: f64,
}

/// Why there is no pulmonary index.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPulmonaryIndex {
    /// Past the time at which the formula peaks.
    #[error("past 148 h the formula falls with time and is no dose")]
    PastPeak,
    /// The partial pressure is above the range it was made for.
    #[error(
        "the index was made for partial pressures just under and about 0.5 bar; this is 0.6 or more"
    )]
    OutOfRange,
}

/// The formula itself for one steady exposure: t in hours, p in bar ("Pulmonary oxygen toxicity in
/// saturation dives with PO2 close to the lower end of the toxic range", abstract seen).
pub fn pulmonary_index(hours: f64, p_bar: f64) -> PulmonaryIndex {
    let k = hours * hours * libm::pow(p_bar, 4.57) * libm::exp(-0.0135 * hours);
    PulmonaryIndex {
        k,
        incidence_percent: 1.85 + 0.171 * k,
    }
}

/// The index as a running dose: the formula where it rises with time and within its range.
///
/// # Errors
/// Why there is none. (0.6 bar as the end of its range is where another published set begins; a house
/// rule.)
pub fn pulmonary_dose(hours: f64, p_bar: f64) -> Result<PulmonaryIndex, NoPulmonaryIndex> {
    if p_bar >= 0.6 {
        Err(NoPulmonaryIndex::OutOfRange)
    } else if hours > PULMONARY_PEAK_H {
        Err(NoPulmonaryIndex::PastPeak)
    } else {
        Ok(pulmonary_index(hours, p_bar))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ramp_is_the_sum_of_its_parts() {
        let whole = uptd_ramp(0.3, 1.6, 90.0);
        let parts: f64 = (0..1300)
            .map(|i| {
                uptd_ramp(
                    0.3 + f64::from(i) * 1e-3,
                    0.301 + f64::from(i) * 1e-3,
                    90.0 / 1300.0,
                )
            })
            .sum();
        assert!((whole - parts).abs() < 1e-3, "{whole} {parts}");
        assert_eq!(uptd_ramp(0.3, 0.5, 90.0), 0.0);
        assert_eq!(uptd_ramp(1.0, 1.0, 7.0), 7.0);
    }

    #[test]
    fn the_table_is_used_as_printed_and_not_past_its_end() {
        assert_eq!(cns_per_min(0.5), Some(0.0));
        assert_eq!(cns_per_min(0.55), Some(1.0 / 720.0));
        assert_eq!(cns_per_min(1.0), Some(1.0 / 300.0));
        assert_eq!(cns_per_min(1.25), None);
    }

    #[test]
    fn the_index_is_refused_where_it_lies() {
        assert!(pulmonary_dose(140.0, 0.5).is_ok());
        assert!(pulmonary_dose(PULMONARY_PEAK_H, 0.5).is_ok());
        assert_eq!(pulmonary_dose(149.0, 0.5), Err(NoPulmonaryIndex::PastPeak));
        assert_eq!(pulmonary_dose(10.0, 0.7), Err(NoPulmonaryIndex::OutOfRange));
        assert!(
            pulmonary_index(PULMONARY_PEAK_H, 0.5).k
                > pulmonary_index(PULMONARY_PEAK_H + 20.0, 0.5).k
        );
    }
}
