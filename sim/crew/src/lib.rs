//! Divers: where each one is, what he does and breathes, what he takes from and gives to that gas, his
//! hours, his oxygen dose, his warmth, and what he says.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide. Oxygen and heat
//! figures here are indices to be shown, with the status of their sources beside them.

mod bail_out;
mod comfort;
mod day;
pub mod harm;
mod load;
mod orders;
mod oxygen;
mod people;
mod rates;
mod share;
mod tally;
#[cfg(test)]
mod tests;
mod totals;
pub mod voices;
mod warmth;

pub use bail_out::*;
pub use day::*;
pub use load::*;
pub use oxygen::*;
pub use people::*;
pub use rates::*;
pub use tally::Air;
pub use totals::*;
pub use warmth::*;
