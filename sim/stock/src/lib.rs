//! How much gas: whole jobs under drawn inputs, what they drew, what must be held in reserve, what to
//! load, and a forecast from today.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod absorbent;
mod answer;
mod assimilation;
mod batch;
mod bill;
mod burning;
mod by_day;
mod compare;
mod endurance;
mod ensemble;
mod figures;
mod forecast;
mod gases;
mod outlook;
mod planned;
mod posterior;
mod replicate;
pub mod reserve;
mod sampler;
mod study;
pub mod supply;
mod tally;
mod unit;

pub use absorbent::{AbsorbentAnswer, AbsorbentStock, CanisterSize, changed_kg};
pub use answer::*;
pub use assimilation::*;
pub use batch::*;
pub use bill::*;
pub use burning::{burning_hours, burning_tasks, burnt_m3};
pub use by_day::{FirstDays, chances, dives_to_come};
pub use compare::*;
pub use endurance::*;
pub use ensemble::*;
pub use figures::*;
pub use forecast::*;
pub use gases::*;
pub use outlook::*;
pub use planned::*;
pub use posterior::*;
pub use replicate::*;
pub use sampler::*;
pub use study::*;
pub use tally::*;
pub use unit::{WantedEndurance, heat_at_rest_w};
