//! Gas state, heat, flow and convection against published values.

mod closed_forms;
mod convection;
mod heliox;
mod pure;
mod throttling;
mod vectors;
