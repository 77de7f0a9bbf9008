//! Pressure: doors, equalising valves and drains between vessels, and what is open to the outside. Vessels
//! behind open doors have one pressure, a lock open to the deck has the deck's, and a bell open to the sea
//! has the sea's. The gas that must move for it moves from the fuller to the emptier side, with its heat: at
//! once where a way has just been opened (`equalise`), and over an interval as a flow that keeps the
//! pressures one at its points (`constraint`). Between vessels whose pressures come together a valve's
//! flow is found along with them (`valve`). Nothing here knows a ship: vessels have numbers.

pub(crate) mod answer;
pub(crate) mod constraint;
pub(crate) mod equalise;
pub(crate) mod exchange;
pub(crate) mod outside;
pub(crate) mod passage;
pub(crate) mod passing;
pub(crate) mod stage;
pub(crate) mod tree;
pub(crate) mod valve;

#[cfg(test)]
mod tests;
