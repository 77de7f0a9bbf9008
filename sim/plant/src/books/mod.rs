//! The books: slots (what can flow), bookings (from where to where), accounts (how much, and how much of it
//! the record has been given), and the keeping of them as anchors move.

pub(crate) mod account;
pub(crate) mod booking;
pub(crate) mod keeping;
pub(crate) mod slot;

#[cfg(test)]
mod tests;
