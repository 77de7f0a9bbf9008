//! What a job that did not begin at second 0 was taken up from, and what was assumed for it.

use serde::{Deserialize, Serialize};

/// What a job was taken up from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TakenUp {
    /// The second of the present.
    pub at_s: i64,
    /// What was assumed, a sentence each.
    pub assumed: Vec<String>,
}
