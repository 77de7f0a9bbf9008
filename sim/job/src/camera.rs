//! A look into a vessel by its camera: who is in view. A camera has blind corners; who stands in one is not seen, and at
//! another second may be.

use super::random::Streams;
use deepstay_core::record::{Whereabouts, heads};
use deepstay_core::units::*;
use deepstay_crew::Crew;

/// Share of a vessel that its camera does not see (house figure, nothing published was found).
pub const BLIND_SHARE: f64 = 0.1;

/// Divers in view at a second, a bit each by their ids. Each look has chances of its own, which no other draw moves.
pub(super) fn seen(seed: u64, at: CompartmentId, now_s: i64, crew: &Crew) -> u64 {
    let name = format!("camera of vessel {} at {now_s} s", at.0);
    let mut draw = Streams::new(seed).named(&name, 0);
    heads(crew.ids().filter(|diver| {
        let in_view = draw.uniform() >= BLIND_SHARE;
        in_view && crew.whereabouts(*diver) == Whereabouts::In(at)
    }))
}
