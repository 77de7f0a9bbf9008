//! The rota against the rules as printed, against exhaustive search, and against its own bound.

mod check;
mod fatigue;
mod optimum;
mod problem;
mod solve;
