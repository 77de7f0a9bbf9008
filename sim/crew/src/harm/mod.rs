//! How a person fails: running numbers of one body, and the state that is the worst of them.
//!
//! Display and training only. Nothing here is a limit to work to, a treatment or a medical rule; a person here is
//! an average with a wide spread, and every figure carries its status in the file it comes from.
//!
//! [`Body`] holds the numbers: oxygen in the lung, doses of low oxygen, carbon monoxide, carbon dioxide, oxygen
//! and lost pressure, and the temperature of the core. It is stepped over spans between whole seconds, in which
//! what is breathed goes straight from one value to another. While everything breathed and felt stays within
//! [`Edges`] no dose grows and no state can change, so a span may be minutes long and is gone through in closed
//! form; outside them it is gone through second by second. Whoever owns the clock calls at the first second at which
//! an edge is passed, and then at each second until [`Body::at_rest`] again.

mod blood;
mod body;
mod core_temperature;
mod edges;
mod figures;
mod low_oxygen;
mod nature;
mod pressure_loss;
mod seizure;

pub use blood::{carbon_dioxide_time_s, haemoglobin_percent_min};
pub use body::{Body, FitnessStep};
pub use core_temperature::Skin;
pub use edges::Edges;
pub use figures::*;
pub use low_oxygen::{in_lung_pa, useful_time_s};
pub use nature::{Effort, Man, Nature};
pub use pressure_loss::{hit_chance, late_after_s};
pub use seizure::{seizure_chance, seizure_dose_step};
