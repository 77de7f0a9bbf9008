//! To how many places a figure is kept: one rounding for tables, JSON and sheets, so that what is read in one is what is
//! read in the other.

/// To so many parts of one.
pub fn round(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts
}
