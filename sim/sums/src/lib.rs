//! The hand sums of the watch and the planner: each formula stands here once, and the reserve, the bill and the reports
//! call the same functions.
//!
//! Gas is counted by hand (bar times floodable volume, ideal) unless a name says otherwise; what the plant does with real
//! gas is the plant's.

mod formulas;

pub use formulas::*;
