//! What is known of an evacuation unit whoever asks: how long it is to keep its people, and the warmth of a person in it.

use deepstay_core::Status;
use deepstay_core::units::FreeReference;
use deepstay_plant::{ABSORPTION_J_MOL, Activity};
use deepstay_scenario::Scenario;

/// Life support that an evacuation unit is to have, h.
pub const WANTED_H: f64 = 72.0;
/// Where that figure comes from.
pub const WANTED_SOURCE: &str = "IMCA D 052 as an encyclopaedia article on hyperbaric evacuation quotes it; the document was not opened";
/// How it came to us.
pub const WANTED_STATUS: Status = Status::SecondHand;

/// The heat that a person at rest gives to the gas, W, that of the absorbent with it.
pub(crate) fn body_w(scenario: &Scenario) -> f64 {
    let rows = &scenario.rates.rows;
    let rest = rows
        .iter()
        .find(|r| r.activity == Activity::Rest)
        .map(|r| r.rate);
    rest.map_or(0.0, |r| {
        let co2_mol_s = r.co2_l_min * FreeReference::Stpd.mol_per_m3() * 1e-3 / 60.0;
        r.heat_w - r.evaporation_w() + ABSORPTION_J_MOL * co2_mol_s
    })
}
