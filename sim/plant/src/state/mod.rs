//! What the steel holds and how it is set: gas and wall of each compartment, banks, valves, doors and
//! machines, bells, the sea. Data that is saved with a job; what it does is said elsewhere.

pub(crate) mod banks;
pub(crate) mod bell;
pub(crate) mod controls;
pub(crate) mod load;
pub(crate) mod node;
pub(crate) mod physics;
pub(crate) mod sea;
pub(crate) mod setting;
