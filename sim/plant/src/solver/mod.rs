//! Steps of any balances: a [`problem::Problem`] says its rates, how they answer a change and what is
//! small; a step finds the states at three collocation points by Newton's method and says how far it
//! may be off, or why it stopped. Nothing here knows what is balanced.
//!
//! `radau` has the scheme's figures, `coupled` and `dense` the linear algebra, `answers` what comes of it
//! for two balances, `jacobian` how balances hang together in blocks, `workspace` the room a step is taken
//! in, `newton` the step itself, `error` its error estimate, `length` how long the next may be,
//! `interpolant` the state between.

pub(crate) mod answers;
pub(crate) mod correction;
pub(crate) mod coupled;
pub(crate) mod dense;
pub(crate) mod error;
pub(crate) mod interpolant;
pub(crate) mod jacobian;
pub(crate) mod length;
pub(crate) mod newton;
pub(crate) mod problem;
pub(crate) mod radau;
pub(crate) mod workspace;

#[cfg(test)]
mod tests;
