//! The sums against printed examples, published exercises, the figures that regulations print, and the reference equations
//! of state.

mod both_ways;
#[path = "../../../../tests/check_values.rs"]
mod check_values;
mod handbook;
mod published;
mod real_gas;
mod refused;
mod reserve;
mod school;
