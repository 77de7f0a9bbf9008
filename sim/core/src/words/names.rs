//! What things on board and people are called: whoever knows their names by their ids can put places,
//! valves, lines, whereabouts and alarms into words.

use super::terms::Words;
use crate::record::{
    AlarmSource, Aspect, LimitBy, LimitName, LineName, Sounds, ValveName, Whereabouts,
};
use crate::units::{BankId, CompartmentId, DiverId, DoorId, Place, Quantity, Units};

/// Whoever knows the names. What has none is called by its kind and number.
pub trait Names {
    /// Name of a compartment as on the panel.
    fn compartment_name(&self, id: CompartmentId) -> Option<&str>;

    /// Name of a bank as painted.
    fn bank_name(&self, id: BankId) -> Option<&str>;

    /// Name of a door.
    fn door_name(&self, id: DoorId) -> Option<&str>;

    /// A diver's initials.
    fn diver_initials(&self, id: DiverId) -> Option<&str>;

    /// The compartment that a door belongs to.
    fn compartment_of(&self, door: DoorId) -> Option<CompartmentId>;

    /// A compartment in words.
    fn compartment(&self, id: CompartmentId) -> String {
        named(self.compartment_name(id), "compartment", id.index())
    }

    /// A bank in words.
    fn bank(&self, id: BankId) -> String {
        named(self.bank_name(id), "bank", id.index())
    }

    /// A door in words.
    fn door(&self, id: DoorId) -> String {
        named(self.door_name(id), "door", id.index())
    }

    /// A diver in words.
    fn initials(&self, id: DiverId) -> String {
        named(self.diver_initials(id), "diver", id.index())
    }

    /// A place in words.
    fn place(&self, place: Place) -> String {
        match place {
            Place::Bank(b) => format!("bank {}", self.bank(b)),
            Place::Compartment(c) => self.compartment(c),
            Place::Atmosphere => "air on deck".into(),
            Place::Sea => "sea".into(),
            Place::Body => "divers".into(),
            Place::Absorbent(c) => format!("absorbent of {}", self.compartment(c)),
            Place::Drained(c) => format!("drained from {}", self.compartment(c)),
            Place::LiquidWater => "liquid water".into(),
        }
    }

    /// A valve in words.
    fn valve(&self, valve: ValveName) -> String {
        match valve {
            ValveName::BlowDown(c) => format!("{} blow-down", self.compartment(c)),
            ValveName::Oxygen(c) => format!("{} oxygen", self.compartment(c)),
            ValveName::Exhaust(c) => format!("{} exhaust", self.compartment(c)),
            ValveName::Bleed(c) => format!("{} bleed", self.compartment(c)),
            ValveName::Drain(c) => format!("{} drain", self.compartment(c)),
            ValveName::Equalise(d) => format!("{} equalising", self.door(d)),
        }
    }

    /// A supply line in words, without the compartment that it serves.
    fn line(&self, line: LineName) -> &'static str {
        match line {
            LineName::Supply(_) => "supply",
            LineName::Oxygen(_) => "oxygen",
            LineName::Bibs(_) => "BIBS",
            LineName::DiverMain(_) => "divers' main gas",
            LineName::DiverSecondary(_) => "divers' secondary gas",
        }
    }

    /// Where a diver went, in words.
    fn whereabouts(&self, to: Whereabouts) -> String {
        match to {
            Whereabouts::Deck => "to the deck".into(),
            Whereabouts::In(c) => format!("to {}", self.compartment(c)),
            Whereabouts::Water(_) => "into the water".into(),
        }
    }

    /// A limit in words: where, of what, on which side and how grave.
    fn limit(&self, name: &LimitName) -> String {
        let severity = name.severity.words();
        format!(
            "{} {} ({severity})",
            self.compartment(name.compartment),
            limit_words(name)
        )
    }

    /// Where an alarm sounds, in words.
    fn sounds(&self, sounds: Sounds) -> String {
        let places: Vec<&str> = sounds.places().map(Words::words).collect();
        places.join(", ")
    }

    /// What an alarm speaks of, in words.
    fn alarm(&self, source: AlarmSource) -> String {
        match source {
            AlarmSource::Reading(name) => self.limit(&name),
            AlarmSource::Bank(b) => format!("bank {} low", self.bank(b)),
        }
    }
}

fn named(name: Option<&str>, kind: &str, number: usize) -> String {
    name.map_or_else(|| format!("{kind} {number}"), str::to_owned)
}

/// What a limit is of, in words.
pub fn limited(name: &LimitName) -> &'static str {
    match (name.by, name.aspect, name.quantity) {
        (LimitBy::Rating, ..) => "depth against the rating",
        (LimitBy::Row(_) | LimitBy::SetPoint | LimitBy::Panel(_), Aspect::Inside, quantity) => {
            quantity.words()
        }
        (_, Aspect::Breathed, Quantity::PpO2) => "ppO2 breathed",
        (_, Aspect::Breathed, Quantity::PpCo2) => "ppCO2 breathed",
        (_, Aspect::Breathed, _) => "gas breathed",
        (_, Aspect::Rate, Quantity::Depth) => "rate of depth",
        (_, Aspect::Rate, _) => "rate",
    }
}

/// A limit in words without its place: of what, and on which side.
pub fn limit_words(name: &LimitName) -> String {
    format!("{} {}", limited(name), name.bound.words())
}

/// The unit that a limit is printed in, in plain letters.
pub fn limit_unit(name: &LimitName, units: Units) -> String {
    let plain = units.scale(name.quantity).plain;
    match name.aspect {
        Aspect::Rate => format!("{plain}/min"),
        Aspect::Inside | Aspect::Breathed => plain.to_owned(),
    }
}
