//! The moment at which flows are found.

use crate::state::banks::BanksAt;

/// What flows are found with besides a state.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Moment<'a> {
    /// Seconds since the start.
    pub t_s: f64,
    /// The compartment is a bell in the sea, over the whole interval.
    pub in_sea: bool,
    /// It was let down to the surface before the interval: its exhaust keeps it there.
    pub let_down: bool,
    /// Length of the step that is tried, s; none at its start.
    pub h_s: Option<f64>,
    /// The banks that are lined up.
    pub banks: BanksAt<'a>,
}
