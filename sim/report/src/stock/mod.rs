//! A gas study on paper and on the screen: page, tables, minimums to post, what to load, summary.

pub mod absorbent;
pub mod chance;
pub mod csv;
pub mod demand;
pub mod endurance;
pub mod fan;
pub mod inputs;
pub mod load;
pub mod outlook;
pub mod page;
pub mod papers;
pub mod posting;
pub mod reserve;
pub mod risk;
pub mod screen;
pub mod summary;
pub mod today;
pub mod why;
pub mod words;
pub mod write;
