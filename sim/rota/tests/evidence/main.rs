//! The rota against the rules as printed, against exhaustive search, and against its own bound.

mod by_hand;
mod check;
mod crew_change;
mod days;
mod edges;
mod fatigue;
mod jobs;
mod law;
mod none;
mod optimum;
mod outside;
mod planner;
mod problem;
mod reach;
mod replan;
mod solve;
mod turns;
