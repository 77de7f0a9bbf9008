//! From needs to a load: what a unit yields between fill and heel by the real gas and by hand, how many
//! whole units cover a need, in which order they are drawn, what decanting and boosting give, which boat
//! must bring what, and what it all weighs and costs. Pure functions of a supplier's list.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod boats;
mod candidates;
mod drawing;
mod fit;
mod load;
mod need;
mod refusal;
mod usable;

pub use boats::*;
pub use drawing::*;
pub use fit::*;
pub use load::*;
pub use need::*;
pub use refusal::*;
pub use usable::*;

#[cfg(test)]
mod tests;
