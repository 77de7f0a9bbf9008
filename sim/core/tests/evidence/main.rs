//! Gas and units against published values; each file names its own.

#[path = "../../../../tests/check_values.rs"]
mod check_values;
mod gas;
mod units;
