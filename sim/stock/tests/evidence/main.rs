//! The gas study against textbooks, certified statistics, printed sums, and a run of the same job.

#![expect(
    clippy::disallowed_methods,
    reason = "a referee may use the functions of the platform, and shares none with the program"
)]

mod absorbent;
mod bill;
mod bottles;
mod built_in;
mod by_hand;
#[path = "../../../../tests/check_values.rs"]
mod check_values;
mod endurance;
mod ensemble;
mod outlook;
mod planned;
mod reserve;
mod sheet;
mod statistics;
mod tally;
