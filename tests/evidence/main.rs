//! What the tool computes, held against published sources; each file names its own.

mod gas;
mod rules_decompression;
mod rules_matrix;
mod rules_reserve;
mod rules_school;
mod rules_working;
