//! The crew as it stands: where each diver is, what he does, what he breathes.

use super::load::{BreathesFrom, Changes, Loads, breathes_from};
use super::rates::{ACTIVITIES, Rate, Rates, RatesError};
use super::tally::Tally;
use deepstay_core::record::{BreathingPath, Whereabouts};
use deepstay_core::units::{CompartmentId, CompartmentKind, DiverId};
use deepstay_plant::{Activity, MAX_COMPARTMENTS, Steel};
use serde::{Deserialize, Serialize};

/// A diver as a body.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Person {
    /// Initials; no names.
    pub initials: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Multiplies every rate of the table; 1 is the table's person.
    pub factor: f64,
}

/// How a diver stands now.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct State {
    pub(super) at: Whereabouts,
    pub(super) activity: Activity,
    pub(super) path: BreathingPath,
    pub(super) tally: Tally,
}

/// All divers of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Crew {
    pub(super) people: Vec<Person>,
    pub(super) states: Vec<State>,
    pub(super) rates: [Rate; ACTIVITIES],
    pub(super) surface_pa: f64,
    pub(super) loads: Loads,
    pub(super) changes: Changes,
    bells: u16,
    pub(super) compartments: usize,
}

impl Crew {
    /// A crew on deck at second `start_s`, resting.
    ///
    /// # Errors
    /// What is wrong with the table of rates.
    pub fn new(
        people: Vec<Person>,
        rates: &Rates,
        steel: &Steel,
        start_s: i64,
    ) -> Result<Crew, RatesError> {
        let on_deck = State {
            at: Whereabouts::Deck,
            activity: Activity::Rest,
            path: BreathingPath::Ambient,
            tally: Tally::new(start_s),
        };
        let compartments = steel.compartments.len().min(MAX_COMPARTMENTS);
        let bells = steel.compartments[..compartments].iter().enumerate();
        Ok(Crew {
            states: vec![on_deck; people.len()],
            people,
            rates: rates.table()?,
            surface_pa: steel.surface_pa,
            loads: Loads::default(),
            changes: Changes::default(),
            bells: bells
                .filter(|(_, c)| c.kind == CompartmentKind::Bell)
                .fold(0, |bits, (i, _)| bits | 1 << i),
            compartments,
        })
    }

    /// How many divers there are.
    pub fn len(&self) -> usize {
        self.people.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.people.is_empty()
    }

    /// The divers' ids.
    pub fn ids(&self) -> impl Iterator<Item = DiverId> + use<> {
        (0u8..=u8::MAX).take(self.people.len()).map(DiverId)
    }

    /// A diver's body, if there is such a diver.
    pub fn person(&self, diver: DiverId) -> Option<&Person> {
        self.people.get(diver.index())
    }

    /// Where a diver is; on deck if there is no such diver.
    pub fn whereabouts(&self, diver: DiverId) -> Whereabouts {
        self.states
            .get(diver.index())
            .map_or(Whereabouts::Deck, |s| s.at)
    }

    /// What a diver does.
    pub fn activity(&self, diver: DiverId) -> Activity {
        self.states
            .get(diver.index())
            .map_or(Activity::Rest, |s| s.activity)
    }

    /// What a diver has on his face.
    pub fn path(&self, diver: DiverId) -> BreathingPath {
        self.states
            .get(diver.index())
            .map_or(BreathingPath::Ambient, |s| s.path)
    }

    /// Whose gas a diver breathes.
    pub fn breathes_from(&self, diver: DiverId) -> BreathesFrom {
        breathes_from(self.whereabouts(diver), self.path(diver))
    }

    /// The rates a diver has now, his own factor included.
    pub fn rate(&self, diver: DiverId) -> Rate {
        let rate = self.rates[self.activity(diver) as usize];
        let factor = self.person(diver).map_or(1.0, |p| p.factor);
        Rate {
            o2_l_min: rate.o2_l_min * factor,
            co2_l_min: rate.co2_l_min * factor,
            ventilation_l_min: rate.ventilation_l_min * factor,
            heat_w: rate.heat_w * factor,
            water_g_h: rate.water_g_h * factor,
        }
    }

    /// Divers in a compartment (not those in the water from it).
    pub fn inside(&self, at: CompartmentId) -> impl Iterator<Item = DiverId> + '_ {
        self.ids()
            .filter(move |&d| self.whereabouts(d) == Whereabouts::In(at))
    }

    /// Divers in the water from a bell.
    pub fn outside(&self, bell: CompartmentId) -> impl Iterator<Item = DiverId> + '_ {
        self.ids()
            .filter(move |&d| self.whereabouts(d) == Whereabouts::Water(bell))
    }

    /// How many divers are in a compartment.
    pub fn headcount(&self, at: CompartmentId) -> u8 {
        self.inside(at).fold(0, |n, _| n + 1)
    }

    pub(super) fn is_bell(&self, at: CompartmentId) -> bool {
        at.index() < self.compartments && self.bells & (1 << at.index()) != 0
    }

    /// Whether a place is a bell, or the water from one.
    pub(super) fn of_bell(&self, at: Whereabouts) -> bool {
        match at {
            Whereabouts::Deck => false,
            Whereabouts::In(c) | Whereabouts::Water(c) => self.is_bell(c),
        }
    }
}
