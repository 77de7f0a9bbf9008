//! The crew as it stands: where each diver is, what he does, what he breathes.

use super::bail_out::{BailOut, Bottle};
use super::harm::{Body, Effort, HarmFigures, Man, Nature};
use super::harm::{Edges, FitnessStep};
use super::load::{BreathesFrom, Changes, Loads, breathes_from};
use super::rates::{ACTIVITIES, Rate, Rates, RatesError};
use super::tally::{Air, Tally};
use super::voices::Voices;
use deepstay_core::record::{BreathingPath, Fitness, Whereabouts};
use deepstay_core::units::{CompartmentId, CompartmentKind, DiverId};
use deepstay_plant::{Activity, MAX_COMPARTMENTS, Steel};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A diver as a body.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Person {
    /// Initials; no names.
    pub initials: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Multiplies every rate of the table; 1 is the table's person.
    pub factor: f64,
    /// How he differs from the average in what he stands.
    pub nature: Nature,
}

/// A diver as he is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundDiver {
    /// Where.
    pub at: Whereabouts,
    /// What he has on his face.
    pub path: BreathingPath,
    /// What he breathes.
    pub air: Air,
    /// His oxygen so far, where it is known.
    pub dose: Option<FoundDose>,
}

/// Oxygen that somebody has had so far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundDose {
    /// Units of pulmonary toxicity.
    pub uptd: f64,
    /// Share of the clock of the nervous system.
    pub cns: f64,
}

/// How a diver stands now.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct State {
    pub(super) at: Whereabouts,
    pub(super) activity: Activity,
    pub(super) path: BreathingPath,
    pub(super) tally: Tally,
    pub(super) body: Body,
    pub(super) bottle: Bottle,
    /// Whether what he breathes from gives anything.
    pub(super) gives: bool,
    /// He has just gone out or died: what he takes and gives is to be added up again.
    #[serde(skip)]
    pub(super) fell: bool,
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
    pub(super) bail_out: BailOut,
    #[serde(skip)]
    pub(super) figures: Arc<HarmFigures>,
    #[serde(skip)]
    pub(super) voices: Arc<Voices>,
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
        let (figures, bail_out) = (Arc::<HarmFigures>::default(), BailOut::default());
        let air_pa = 0.2095 * steel.surface_pa;
        let on_deck = State {
            at: Whereabouts::Deck,
            activity: Activity::Rest,
            path: BreathingPath::Ambient,
            tally: Tally::new(start_s),
            body: Body::in_gas(&figures, air_pa, steel.surface_pa, start_s),
            bottle: bail_out.full(steel.surface_pa),
            gives: true,
            fell: false,
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
            bail_out,
            figures,
            voices: Arc::default(),
        })
    }

    /// The same crew under other figures of harm and with another bail-out, before anything has happened.
    #[must_use]
    pub fn with_harm(mut self, figures: Arc<HarmFigures>, bail_out: BailOut) -> Crew {
        for state in &mut self.states {
            let air_pa = 0.2095 * self.surface_pa;
            let since_s = state.tally.since_s;
            state.body = Body::in_gas(&figures, air_pa, self.surface_pa, since_s);
            state.bottle = bail_out.full(self.surface_pa);
        }
        self.bail_out = bail_out;
        self.figures = figures;
        self
    }

    /// The same crew, speaking by another file of voices.
    #[must_use]
    pub fn with_voices(mut self, voices: Arc<Voices>) -> Crew {
        self.voices = voices;
        self
    }

    /// Somebody is found somewhere at the second the crew was made for: he has long been in what he breathes there, is
    /// well, and what is counted of him begins with what is known.
    pub fn find(&mut self, diver: DiverId, found: &FoundDiver) {
        let Some(state) = self.states.get_mut(diver.index()) else {
            return;
        };
        let FoundDiver {
            at,
            path,
            air,
            dose,
        } = *found;
        state.at = at;
        state.path = path;
        state.body = Body::in_gas(&self.figures, air.ppo2_pa, air.p_pa, state.tally.since_s);
        state.tally.last = Some(air);
        if let Some(dose) = dose {
            (state.tally.uptd, state.tally.cns) = (dose.uptd, dose.cns);
        }
        self.add_up();
    }

    /// Puts the figures of harm and the voices back after a restore; they are not saved with the state.
    pub fn attach(&mut self, figures: Arc<HarmFigures>, voices: Arc<Voices>) {
        self.figures = figures;
        self.voices = voices;
    }

    /// How a diver stands; well if there is no such diver.
    pub fn fitness(&self, diver: DiverId) -> Fitness {
        let state = self.states.get(diver.index());
        state.map_or(Fitness::Well, |s| s.body.fitness())
    }

    /// The running numbers of a diver's body.
    pub fn body(&self, diver: DiverId) -> Option<&Body> {
        self.states.get(diver.index()).map(|s| &s.body)
    }

    /// The bail-out on a diver's back, and what every bail-out of this crew is.
    pub fn bail_out(&self, diver: DiverId) -> Option<(&BailOut, &Bottle)> {
        let state = self.states.get(diver.index())?;
        Some((&self.bail_out, &state.bottle))
    }

    /// What the gauge of a diver's bail-out shows, Pa over the surface's pressure.
    pub fn bail_out_gauge_pa(&self, diver: DiverId) -> Option<f64> {
        let (kind, bottle) = self.bail_out(diver)?;
        Some(kind.gauge_pa(bottle, self.surface_pa))
    }

    /// The figures of harm.
    pub fn figures(&self) -> &HarmFigures {
        &self.figures
    }

    /// What multiplies the table's rates for a diver: nothing of the dead.
    pub(super) fn factor(&self, diver: usize) -> f64 {
        match self.states[diver].body.fitness() {
            Fitness::Dead => 0.0,
            _ => self.people[diver].factor,
        }
    }

    /// Everybody whose state has changed since this was last asked.
    pub fn take_steps(&mut self) -> Vec<(DiverId, FitnessStep)> {
        let ids = self.ids();
        let step = |id: DiverId| Some((id, self.states[id.index()].body.take_step()?));
        ids.filter_map(step).collect()
    }

    /// Whether every body is at rest in what it was last followed in: no dose grows or is left, no state can change.
    pub fn at_rest(&self) -> bool {
        self.states.iter().enumerate().all(|(i, state)| {
            let air = state.tally.last;
            let on_bottle = state.path == BreathingPath::BailOut;
            !on_bottle && air.is_none_or(|air| state.body.at_rest(&self.man(i), &air))
        })
    }

    /// The band within which a diver is in no danger, in the gas he was last followed in, and the least pressure round
    /// him, Pa; nothing of the dead.
    pub fn edges(&self, diver: DiverId) -> Option<(Edges, f64)> {
        let state = self.states.get(diver.index())?;
        let air = state
            .tally
            .last
            .filter(|_| state.body.fitness() < Fitness::Dead)?;
        let man = self.man(diver.index());
        Some((
            state.body.edges(&man, &air),
            state.body.pressure_edge_pa(&man),
        ))
    }

    /// A diver as the laws of harm know him at present.
    pub(super) fn man(&self, diver: usize) -> Man<'_> {
        let (state, person) = (&self.states[diver], &self.people[diver]);
        Man {
            figures: &self.figures,
            nature: person.nature,
            mass_kg: person.mass_kg,
            rate: self.rates[state.activity as usize].times(person.factor),
            effort: Effort::from(state.activity),
            wet: matches!(state.at, Whereabouts::Water(_)),
            surface_pa: self.surface_pa,
        }
    }

    /// What is said over the speaker.
    pub fn voices(&self) -> &Arc<Voices> {
        &self.voices
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
        match diver.index() < self.people.len() {
            true => rate.times(self.factor(diver.index())),
            false => rate,
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
