//! The sums against printed examples, published exercises and the figures that regulations print.

mod handbook;
mod reserve;
mod school;
