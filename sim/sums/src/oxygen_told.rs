//! What has to be said of oxygen with an answer: that it is too little or too much to breathe, and how deep the fire zone
//! goes on a blow-down.

use crate::formulas::{EMERGENCY_PPO2_ATA, FIRE_ZONE_SHARE, absolute_at_share};
use crate::frame::Frame;
use crate::kind::Kind;
use crate::name::Name;
use crate::sum::Sum;
use deepstay_core::units::ATM_PA;

/// What has to be said, a sentence each; `made` are the answers of the sum.
pub(crate) fn notes(sum: &Sum, f: &Frame, made: &[f64]) -> Vec<String> {
    let mut said = Vec::new();
    let Some(at) = sum.answers.iter().position(|n| *n == Name::PpO2) else {
        return said;
    };
    let ppo2 = made[at];
    let pa = Kind::Partial.unit(f.units).si(ppo2);
    let (low, high) = EMERGENCY_PPO2_ATA;
    if !(low * ATM_PA..=high * ATM_PA).contains(&pa) {
        said.push(format!(
            "{} of oxygen lies outside {low} to {high} ata, within which a gas may serve in an emergency (US Navy Diving Manual, 15-15, read in a copy)",
            Kind::Partial.words(pa, f.units)
        ));
    }
    let pressed = [Name::From, Name::To, Name::Before, Name::Mix];
    if pressed.iter().all(|name| sum.ask(*name).is_some()) {
        said.extend(fire_zone(f, ppo2));
    }
    said
}

/// Where a blow-down is in the fire zone; nothing where it never is.
fn fire_zone(f: &Frame, ppo2: f64) -> Option<String> {
    let (before, from, to) = (
        f.n(Name::Before),
        f.absolute(Name::From),
        f.absolute(Name::To),
    );
    // To the last digits an edge is the edge.
    let within =
        |partial: f64, absolute: f64| partial >= absolute * FIRE_ZONE_SHARE * (1.0 + 1e-12);
    let edge = absolute_at_share(before, from, f.si(Name::Mix), FIRE_ZONE_SHARE);
    let edge = Kind::Depth.unit(f.units).si(f.depth_at(edge));
    let edge = Kind::Depth.words(edge, f.units);
    let lies = match (within(before, from), within(ppo2, to)) {
        (true, false) => format!("down to {edge}"),
        (true, true) => "all the way, at the end as well".to_owned(),
        (false, true) => format!("from {edge} down"),
        (false, false) => return None,
    };
    Some(format!(
        "in the fire zone (6 % of oxygen by volume or more: US Navy Diving Manual, 15-17, read in a copy) {lies}"
    ))
}
