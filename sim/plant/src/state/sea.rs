//! The sea: its temperature at depth and its tide.

use serde::{Deserialize, Serialize};

/// The sea that bells go into.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub(crate) struct Sea {
    /// Temperature at depth, K.
    pub t_k: f64,
    /// Amplitude of the tide, m.
    pub tide_m: f64,
    /// Its period, s.
    pub period_s: f64,
}

impl Default for Sea {
    fn default() -> Self {
        Sea {
            t_k: 283.15,
            tide_m: 0.0,
            period_s: 44_714.0,
        }
    }
}

impl Sea {
    /// Tide above mean, m.
    pub fn above_mean_m(&self, t_s: f64) -> f64 {
        if self.tide_m == 0.0 {
            return 0.0;
        }
        self.tide_m * libm::sin(2.0 * std::f64::consts::PI * t_s / self.period_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// High water a quarter of a period after mean level, low water three quarters after it.
    #[test]
    fn it_rises_from_mean_level_to_high_water_and_comes_back() {
        let sea = Sea {
            tide_m: 0.8,
            period_s: 44_712.0,
            ..Sea::default()
        };
        assert_eq!(sea.above_mean_m(0.0), 0.0);
        assert!((sea.above_mean_m(11_178.0) - 0.8).abs() < 1e-12);
        assert!((sea.above_mean_m(33_534.0) + 0.8).abs() < 1e-12);
        assert!(sea.above_mean_m(60.0) > 0.0);
    }
}
