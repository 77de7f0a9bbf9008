//! What many simulated jobs say together: means and quantiles with how sure they are, chances, which input
//! goes with which answer, and the rows of their charts.

mod chance;
mod day;
mod estimate;
mod rank;
mod score;
mod sensitivity;

pub use chance::*;
pub use day::*;
pub use estimate::*;
pub use rank::*;
pub(crate) use score::{normal_score, share_below};
pub use sensitivity::*;
