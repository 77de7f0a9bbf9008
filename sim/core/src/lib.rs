//! What every room of Deepstay speaks: units and the one reader of quantities, gas, the vocabulary of
//! entries, and what is made of them (ledger, log, alarms).

pub mod digest;
pub mod gas;
pub mod record;
pub mod units;
