//! The steel as built: what there is, with its sizes, all SI. Data only; nothing here changes in a job.

mod alarm;
mod bank;
mod compartment;
mod door;
pub(crate) mod edge;
mod instrument;
mod spread;

pub use alarm::{Alarm, SetPoint};
pub use bank::{Bank, LoopAlarms, Reclaim, Recovery};
pub use compartment::{Bell, Climate, Compartment, Relief, Scrubber};
pub use door::Door;
pub use edge::MAX_EDGES;
pub use instrument::{Instrument, SamplePoint};
pub use spread::{MAX_BANKS, MAX_COMPARTMENTS, Steel};
