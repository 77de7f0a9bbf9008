//! The rule sets against the documents they are taken from.

mod after;
mod asked;
mod backwards;
mod based;
mod decompression;
mod edges;
mod matrix;
mod refused;
mod words;
mod working;
