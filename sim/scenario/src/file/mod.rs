//! The grammar of the files a person writes: one file a part of the job. Quantities are text with a
//! unit, names are text in quotes, choices are words. Nothing here is checked against anything else;
//! that is done when a scenario is made of it.

mod crew;
mod faults;
mod job;
mod plan;
mod present;
mod runs;
mod simple;
mod site;
mod spread;
mod stock;
mod study;
mod supplier;
mod work;

pub use crew::*;
pub use faults::*;
pub use job::*;
pub use plan::*;
pub use present::*;
pub use runs::*;
pub use simple::*;
pub use site::*;
pub use spread::*;
pub use stock::*;
pub use study::*;
pub use supplier::*;
pub use work::*;
