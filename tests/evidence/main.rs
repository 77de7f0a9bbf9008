//! What the tool computes, held against published sources; each file names its own.

mod alarm_rates;
mod chamber;
mod closure;
mod closure_people;
mod failure_effects;
mod hole;
mod reference;
mod stock_oxygen;
mod whole_job;
