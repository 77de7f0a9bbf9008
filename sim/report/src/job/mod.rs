//! A job that was run: what its report is made of, its summary, page, screen and tables.

mod bank_state;
pub mod bell_chart;
mod daily;
pub mod ending;
pub mod events;
mod faults;
pub mod gas_chart;
pub mod gas_status;
pub mod hours;
pub mod inputs;
pub mod lived;
pub mod log;
pub mod page;
pub mod papers;
pub mod planned;
pub mod posted;
pub mod rests_on;
#[cfg(test)]
pub mod sample;
#[cfg(test)]
pub mod sample_job;
pub mod screen;
pub mod sections;
pub mod stores;
pub mod summary;
pub mod tables;
pub mod trend;
mod trims;
pub mod write;
