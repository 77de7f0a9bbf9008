//! The tide at the site: one sinusoid, the principal lunar constituent M2; others are left out. It stands at
//! mean level and rises at second 0 (a house rule: no site here is a real one). What the sea does to a bell is
//! the plant's.

/// Speed of the M2 constituent, degrees per hour (harmonic constants of tide tables, recalled); its
/// period is 360 / 28.9841042 = 12.4206 h.
pub const M2_DEG_PER_H: f64 = 28.984_104_2;
/// Period of the tide, s.
pub const TIDE_PERIOD_S: f64 = 360.0 / M2_DEG_PER_H * 3600.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_tides_take_a_lunar_day() {
        // The mean lunar day is 24 h 50.47 min (astronomical almanacs, recalled).
        assert!((2.0 * TIDE_PERIOD_S / 60.0 - (24.0 * 60.0 + 50.47)).abs() < 0.01);
        assert!((TIDE_PERIOD_S / 3600.0 - 12.4206).abs() < 5e-5);
    }
}
