//! What many simulated jobs say together: means and quantiles with how sure they are, chances, which input
//! goes with which answer, and the rows of their charts.

mod chance;
mod day;
mod rank;
mod spread;
mod why;

pub use chance::*;
pub use day::*;
pub use rank::*;
pub use spread::*;
pub use why::*;
