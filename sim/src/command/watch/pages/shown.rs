//! Readings, handles and lamps as cells and short words.

use crate::job::{Indicated, Vessel};
use crate::record::{Machine, ValveName, Whereabouts};
use crate::units::{Channel, CompartmentId, Quantity, Units, fixed};

/// A reading in its digits; dashes where there is no instrument, and words where it shows no number, or looks at the gas
/// of another vessel.
pub fn cell(
    seen: &Indicated,
    units: Units,
    at: CompartmentId,
    quantity: Quantity,
    channel: Channel,
) -> String {
    let of = |s: &&crate::job::Shown| (s.quantity, s.channel) == (quantity, channel);
    let Some(shown) = vessel(seen, at).readings.iter().find(of) else {
        return "-".to_owned();
    };
    match shown.value {
        _ if shown.turned_to.is_some() => "other".to_owned(),
        None => "dark".to_owned(),
        Some(_) if shown.at_ceiling => "over".to_owned(),
        Some(value) => units.scale(quantity).digits(value),
    }
}

/// A vessel.
pub fn vessel(seen: &Indicated, at: CompartmentId) -> &Vessel {
    &seen.vessels[at.index()]
}

/// An opening in words.
pub fn opening(by: f64) -> String {
    match by {
        _ if by <= 0.0 => "shut".to_owned(),
        _ if by >= 1.0 => "FULL".to_owned(),
        _ => format!("{} %", fixed(by * 100.0, if by < 0.1 { 1 } else { 0 })),
    }
}

/// What a handle is called on the panel.
pub fn handle(valve: ValveName) -> &'static str {
    match valve {
        ValveName::BlowDown(_) => "make-up",
        ValveName::Oxygen(_) => "oxygen",
        ValveName::Bleed(_) => "bleed",
        ValveName::Exhaust(_) => "exhaust",
        ValveName::Drain(_) => "drain",
        ValveName::Equalise(_) => "equalise",
    }
}

/// A machine's switch and lamp in a word.
pub fn lamp(seen: &Indicated, at: CompartmentId, machine: Machine) -> Option<&'static str> {
    let machines = &vessel(seen, at).machines;
    let (_, lamp) = machines.iter().find(|(m, _)| *m == machine)?;
    Some(match (lamp.switched, lamp.running) {
        (true, true) => "on",
        (true, false) => "TRIPPED",
        (false, _) => "off",
    })
}

/// How many are in a vessel, as they said, and how many of a bell's are in the water.
pub fn heads(seen: &Indicated, at: CompartmentId) -> String {
    let inside = seen.divers_in(at).count();
    let out = seen.divers_at(Whereabouts::Water(at)).count();
    match (inside, out) {
        (0, 0) => String::new(),
        (inside, 0) => inside.to_string(),
        (inside, out) => format!("{inside}+{out} out"),
    }
}
