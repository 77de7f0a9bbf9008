//! Calls over the speaker: a station calls somebody, and what comes back comes later, or wrong, or not at all.
//!
//! Whether, when and how is drawn by the rows of the scenario's voices ([`deepstay_crew::voices`]) from a stream of
//! whoever is called, at a place that the number of the call gives: the same acts have the same answers at the same
//! seconds, and no call moves any other draw. What is said is made when it is said ([`content`]), of what he who
//! answers sees, feels and reaches; what he was told to do is done then, by the orders that there are. What one
//! station may order and the other only ask for is in [`owner`], and how the automatic watch answers in [`grants`].

mod book;
mod content;
mod grants;
mod owner;
mod sense;

pub(super) use book::{CallBook, Due, Hearers};
pub(super) use content::{Around, Meant, meant};
pub(super) use grants::Board as Stands;
pub use owner::belongs_to;
pub(super) use sense::makes_sense;

use deepstay_core::record::{Request, Station};
use serde::{Deserialize, Serialize};

/// Something that a person has been asked for and has not answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpenRequest {
    /// The station that asks.
    pub by: Station,
    /// For what.
    pub request: Request,
    /// Since when, s.
    pub since_s: i64,
}
