//! What is said over the speaker, as data: what comes back when somebody is called, by who he is, what was said to him
//! and how he stands, with what chance and after how long; and what divers say unasked. The built-in file is
//! `scenarios/people/voices.ron`; a job may name another.
//!
//! Display and training only. Nothing here decides what is true: an answer is made from what whoever is called can
//! see, feel and reach, and here stands only whether it comes, when, and whether it is right.

mod answers;
mod figures;
mod file;
mod unasked;

pub use answers::{Answers, Drawn, Manner};
pub use figures::{BUILT_IN_VOICES, FiguresFile, Gauge, Voices, VoicesFile};
pub use file::*;
pub use unasked::{Unasked, UnaskedFile, UnaskedRow};
