//! What the tool computes, held against published sources; each file names its own.

mod gas;
mod rules;
mod units;
