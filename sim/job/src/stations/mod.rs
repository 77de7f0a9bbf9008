//! Two automatic seats, saturation control and dive control: plan and readings in, orders out.
//!
//! Both see the plant only through a [`Panel`]: instruments, lamps, labels and what people say. They
//! act only by [`deepstay_plant::Order`]s on their [`Desk`], and speak to each other by the [`Board`].
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod absorbent;
mod asked;
mod away;
mod banks;
mod bell;
mod bell_gas;
#[cfg(test)]
mod bell_tests;
mod board;
mod calibrate;
mod climate;
mod context;
mod daily;
mod decompress;
mod dive;
#[cfg(test)]
mod fake;
mod handover;
mod hold;
mod hygiene;
mod layout;
mod lead;
pub mod lengths;
mod locks;
mod moves;
mod oxygen;
mod panel;
mod papers;
mod practice;
mod press;
mod rejoin;
mod run;
mod saturation;
mod side;
mod surface;
#[cfg(test)]
mod tests;
mod trunk;
mod valves;
mod water;
mod way;

pub use board::{BellWord, Board, SideWord};
pub use dive::DiveControl;
pub use panel::{Desk, Panel, Seat};
pub use saturation::SaturationControl;
