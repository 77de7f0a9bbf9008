//! What the tool computes, held against published sources; each file names its own.

mod chamber;
mod closure;
mod crew;
mod gas;
mod hole;
mod reference;
mod rules;
mod units;
mod weather;
mod whole_job;
