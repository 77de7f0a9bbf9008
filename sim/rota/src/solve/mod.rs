//! The solver: crews, the frame of a turn, laying, search, and the bound that no legal rota exceeds.
//! It never asks a rule set; it works with [`Limits`](super::Limits). What it makes is judged by
//! [`check`](super::check) like any other rota.

mod append;
mod attempt;
mod bound;
mod crews;
mod form;
mod keep;
mod knobs;
mod law;
mod lay;
mod make;
mod price;
mod refuse;
mod relax;
mod rests;
mod search;
mod seats;
mod setup;
mod tight;
mod waits;
mod wander;

pub use attempt::{Made, proven_as_wished, solve};
pub use law::{Proven, proven};
pub use make::{make, make_until};
pub use search::Found;

pub(super) use append::{append, seated_run};
pub(super) use refuse::by_verdict as refused;
