//! A rota on paper and on the screen: page, noticeboard, calendars, table, summary.

pub mod board;
pub mod calendar;
pub mod chart;
pub mod inputs;
pub mod judged;
pub mod known;
pub mod page;
pub mod rests_on;
#[cfg(test)]
pub mod sample;
pub mod screen;
pub mod sections;
pub mod summary;
#[cfg(test)]
pub mod tests;
pub mod write;
