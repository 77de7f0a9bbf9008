//! What flows in a compartment in a state: out of it and into it, by people, absorbent, climate unit and
//! wall, and along breathing paths. Each file has one of them; `compartment` asks them all.

pub(crate) mod breathing;
pub(crate) mod climate;
pub(crate) mod compartment;
pub(crate) mod film;
pub(crate) mod flow;
pub(crate) mod moment;
pub(crate) mod outflow;
pub(crate) mod people;
pub(crate) mod reclaim;
pub(crate) mod scrubber;
pub(crate) mod supply;
pub(crate) mod wall;
