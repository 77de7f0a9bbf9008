//! Monitors: values that somebody waits for, shown or true, and the first whole second at which one
//! is met. Leaping skips only seconds in which none can be met; without leaping each is evaluated.

pub(crate) mod gates;
pub(crate) mod list;
pub(crate) mod monitor;
pub(crate) mod watching;
