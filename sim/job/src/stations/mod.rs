//! The two automatic stations, saturation control and dive control: plan and readings in, orders out.
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
mod daily_time;
mod decompress;
mod depth_read;
mod dive;
#[cfg(test)]
mod fake;
mod feed;
mod handover;
mod hold;
mod house_figures;
mod hrc;
mod hygiene;
mod layout;
mod level;
mod locks;
mod loop_gas;
mod loss;
mod make_up;
mod masks;
mod moves;
mod own_runs;
mod oxygen;
mod oxygen_on_descent;
mod oxygen_read;
#[cfg(test)]
mod oxygen_tests;
mod panel;
mod press;
mod rejoin;
mod relieve;
mod run;
mod saturation;
mod search;
mod surface;
#[cfg(test)]
mod tests;
mod timetables;
mod transit;
mod trunk;
mod valves;
mod water;

pub use banks::{LIKED_IN_WATER_BAR, Liked, MAKE_UP_O2};
pub use board::{BellWord, Board, LevelWord};
pub use dive::DiveControl;
pub use panel::{Desk, Panel};
pub use saturation::SaturationControl;
