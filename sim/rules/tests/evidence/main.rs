//! The rule sets against the documents they are taken from, and the reserve's sums against printed examples.

mod backwards;
mod decompression;
mod edges;
mod handbook;
mod matrix;
mod refused;
mod reserve;
mod school;
mod words;
mod working;
