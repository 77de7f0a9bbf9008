//! Normal scores: a share of a distribution as the standard normal value below which it lies, and back.

use statrs::distribution::{ContinuousCDF, Normal};

/// The standard normal value below which a share lies.
pub(crate) fn normal_score(share: f64) -> f64 {
    Normal::standard().inverse_cdf(share)
}

/// The share below a standard normal value.
pub(crate) fn share_below(score: f64) -> f64 {
    Normal::standard().cdf(score)
}
