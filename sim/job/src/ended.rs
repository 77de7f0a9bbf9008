//! Why a job stopped, and how it ended.

use deepstay_core::units::DiverId;
use serde::{Deserialize, Serialize};

/// How a job ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ended {
    /// Every level is back at the surface.
    Surfaced,
    /// The plan's last second came first.
    PlanOver,
    /// A diver breathed less oxygen than a body lives on.
    Hypoxia(DiverId),
    /// A diver breathed more carbon dioxide than a body stands.
    Hypercapnia(DiverId),
}

/// Why time stopped passing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[must_use = "a job may have ended before the second that was asked for"]
pub enum Halt {
    /// The second asked for is reached, and the job goes on.
    Reached,
    /// The job is over, at that second or before it.
    Ended(Ended),
}
