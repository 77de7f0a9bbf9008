//! What the tool computes, held against published sources; each file names its own.

mod chamber;
mod closure;
mod closure_people;
mod crew;
mod gas;
mod hole;
mod reference;
mod rota;
mod rules_decompression;
mod rules_handbook;
mod rules_matrix;
mod rules_reserve;
mod rules_school;
mod rules_working;
mod stock_bottles;
mod stock_ensemble;
mod stock_oxygen;
mod stock_reserve;
mod stock_statistics;
mod units;
mod weather;
mod whole_job;
