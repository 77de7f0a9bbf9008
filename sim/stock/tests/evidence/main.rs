//! The gas study against textbooks, certified statistics, printed sums, and a run of the same job.

mod bottles;
mod by_hand;
#[path = "../../../../tests/check_values.rs"]
mod check_values;
mod ensemble;
mod reserve;
mod statistics;
