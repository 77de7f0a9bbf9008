//! The sea at the site: the tide and the temperature of the water.
//!
//! The tide is one sinusoid, the principal lunar constituent M2; others are left out. It stands at
//! mean level and rises at second 0 (a house rule: no site here is a real one).

use deepstay_core::units::MSW_PA;
use deepstay_scenario::Site;

/// Speed of the M2 constituent, degrees per hour (harmonic constants of tide tables, recalled); its
/// period is 360 / 28.9841042 = 12.4206 h.
pub const M2_DEG_PER_H: f64 = 28.984_104_2;
/// Period of the tide, s.
pub const TIDE_PERIOD_S: f64 = 360.0 / M2_DEG_PER_H * 3600.0;
/// Pressure of one metre of sea water of 1025 kg/m3 under standard gravity, Pa.
pub const METRE_PA: f64 = 1025.0 * 9.806_65;

/// The sea at the site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sea {
    amplitude_m: f64,
    t_k: f64,
}

impl Sea {
    /// The sea of a site.
    pub fn new(site: &Site) -> Sea {
        Sea {
            amplitude_m: site.tide_amplitude_m,
            t_k: site.sea_t_k,
        }
    }

    /// Height of the tide over mean level at a second, m.
    pub fn tide_m(&self, at_s: i64) -> f64 {
        let turns = (at_s as f64 / TIDE_PERIOD_S).fract();
        self.amplitude_m * libm::sin(std::f64::consts::TAU * turns)
    }

    /// Depth over a point whose depth at mean level is known, msw.
    pub fn depth_msw(&self, at_s: i64, mean_msw: f64) -> f64 {
        mean_msw + self.tide_m(at_s) * METRE_PA / MSW_PA
    }

    /// The fastest the depth ever changes, msw/s; bounds how far a leap may carry.
    pub fn fastest_msw_s(&self) -> f64 {
        std::f64::consts::TAU / TIDE_PERIOD_S * self.amplitude_m.abs() * METRE_PA / MSW_PA
    }

    /// The first whole second after `at_s` by which the tide has turned (high or low water): between
    /// one and the next the depth only rises or only falls.
    pub fn next_turn_s(&self, at_s: i64) -> i64 {
        let half = TIDE_PERIOD_S / 2.0;
        let turn = |n: f64| (half / 2.0 + n * half).ceil() as i64;
        let n = ((at_s as f64 - half / 2.0) / half).floor();
        [n, n + 1.0, n + 2.0]
            .into_iter()
            .map(turn)
            .find(|&t| t > at_s)
            .unwrap_or(at_s + 1)
    }

    /// Temperature of the water at working depth, K.
    pub fn temperature_k(&self) -> f64 {
        self.t_k
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SEA: Sea = Sea {
        amplitude_m: 0.8,
        t_k: 280.0,
    };

    #[test]
    fn two_tides_take_a_lunar_day() {
        // The mean lunar day is 24 h 50.47 min (astronomical almanacs, recalled).
        assert!((2.0 * TIDE_PERIOD_S / 60.0 - (24.0 * 60.0 + 50.47)).abs() < 0.01);
        assert!((TIDE_PERIOD_S / 3600.0 - 12.4206).abs() < 5e-5);
    }

    #[test]
    fn it_rises_from_mean_level_to_high_water_and_comes_back() {
        assert_eq!(SEA.tide_m(0), 0.0);
        assert!((SEA.tide_m(11_179) - 0.8).abs() < 1e-6);
        assert!((SEA.tide_m(33_536) + 0.8).abs() < 1e-6);
        assert!(SEA.depth_msw(11_179, 118.0) > 118.8);
    }

    #[test]
    fn between_turns_the_depth_goes_one_way_and_never_faster_than_stated() {
        let mut at = 0;
        for _ in 0..20 {
            let turn = SEA.next_turn_s(at);
            assert!(turn > at && turn - at <= 22_358);
            let rising = SEA.tide_m(at + 60) > SEA.tide_m(at + 1);
            for t in at + 1..turn - 1 {
                let step = SEA.depth_msw(t + 1, 0.0) - SEA.depth_msw(t, 0.0);
                assert!((step > 0.0) == rising, "{t} of {at}..{turn}");
                assert!(step.abs() <= SEA.fastest_msw_s() * (1.0 + 1e-9));
            }
            at = turn;
        }
    }
}
