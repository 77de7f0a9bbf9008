//! How long a bell run takes by the stations' house figures, for those who plan runs: from the check sheet to the
//! divers sealed in, out to the water, home to the trunk, and until the bell is free again.
//!
//! Sums of the phases' lengths and nothing of their own, so that whoever plans and whoever runs reckon with
//! one set of numbers. Common practice, no source.

use super::house_figures::bell as lengths;

/// Start of the checks to the divers sealed in, s.
pub const LEAD_S: i64 = lengths::CHECKS_S + lengths::JOIN_S + lengths::TRANSFER_S;
/// Sealed in to the first diver in the water, s, beside the way down: seal watched, trunk vented and found
/// empty, clamp off; below, the sea gauge come to rest and the hat put on.
pub const OUT_S: i64 = lengths::SEAL_S
    + lengths::VENT_S
    + lengths::EMPTY_S
    + lengths::CLAMP_S
    + lengths::REST_S
    + lengths::HAT_S;
/// The way down counts as no shorter than this, s: the first diver dresses on it.
pub const DRESSING_S: i64 = lengths::DRESS_S - lengths::REST_S - lengths::HAT_S;
/// One diver in to the next one out, s.
pub const CHANGE_S: i64 = lengths::CHANGE_S;
/// Last diver in to the bell sealed to its trunk again, s, beside the way up.
pub const HOME_S: i64 = lengths::STOW_S + lengths::SEAL_S + lengths::MATING_S;

/// Bell sealed to its trunk to the bell free for the next checks, s: trunk pressed to the storage depth,
/// divers home.
pub fn tail_s(storage_msw: f64) -> i64 {
    let (slow_s, rate_msw_s) = lengths::TRUNK_S;
    slow_s + (storage_msw / rate_msw_s).ceil() as i64 + lengths::TRANSFER_S
}
