//! What every room of Deepstay speaks: units and the one reader of quantities, gas, the vocabulary of
//! orders, faults and entries, and what is made of entries (ledger, log, alarms).

pub mod fault;
pub mod gas;
pub mod order;
pub mod record;
pub mod units;
