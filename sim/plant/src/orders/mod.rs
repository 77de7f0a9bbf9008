//! Orders obeyed: what each does to the steel, and when the steel refuses. `obey` says who does what;
//! `hand` is what all of them do: give the record what was booked so far, touch, set.

pub(crate) mod care;
pub(crate) mod doors;
pub(crate) mod hand;
pub(crate) mod lines;
pub(crate) mod machines;
pub(crate) mod obey;
pub(crate) mod relief;
pub(crate) mod valves;
pub(crate) mod winch;
