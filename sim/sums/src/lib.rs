//! The hand sums of the watch and the planner: each formula stands here once, and the reserve, the bill, the check of files
//! and the reports call the same functions.
//!
//! A [`Sum`] is data: what goes in, what comes out, the formula with its source, the conventions it knows. A [`Question`]
//! asks one, forwards or backwards, metric or imperial:
//!
//! ```
//! use deepstay_sums::{Question, sum};
//!
//! let mut asked = Question::of(sum("gas-available")?);
//! for input in ["bottles=48", "volume=50L", "change-over=35bar", "gas=300m3"] {
//!     asked.read(input)?;
//! }
//! let answer = asked.answer()?;
//! assert_eq!(answer.figures[0].words, "160 bar");
//! # Ok::<(), deepstay_sums::SumError>(())
//! ```
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current document, the company's
//! approved manual and the licensed people on the job decide.

mod answer;
mod convention;
mod error;
mod formulas;
mod frame;
mod kind;
mod list;
mod name;
mod oxygen_told;
mod solve;
mod sum;

pub use answer::{Answer, Beside, Figure, Input, Origin, Question};
pub use convention::{Choice, Convention, Side};
pub use error::SumError;
pub use formulas::*;
pub use frame::{Frame, Values};
pub use kind::{Kind, figures};
pub use list::{GROUPS, Group, sum, sums};
pub use name::Name;
pub use sum::{Ask, Formulas, How, OfASet, Sum};
