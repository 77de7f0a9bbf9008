//! The fingerprint of a scenario: what tells a save, a journal or a hash of a state that it belongs to it.

use deepstay_core::digest::Digest;
use deepstay_scenario::Scenario;
use std::fmt::Write;

/// A digest of everything a scenario says, defaults and the texts of its rule set included: two that differ in
/// anything, even under one name, have different ones.
pub fn fingerprint(scenario: &Scenario) -> u64 {
    let mut digest = Digest::new();
    // Each float is printed with as many digits as tell it from every other.
    write!(digest, "{scenario:?}").map_or(0, |()| digest.get())
}
