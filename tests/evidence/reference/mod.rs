//! The plant against an independent integration of the same balances (`reference/README.md` says how
//! it was made: other code, other gas model, total internal energy as the state, adaptive steps).
//!
//! Pressure, absolute temperature and partial pressures agree within 0.1 % of the reference, and what
//! passed each way within 0.1 % of the moles that the chamber handled of that species.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod build;
mod cases;
mod compare;
