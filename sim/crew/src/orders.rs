//! Orders to divers: what each can do from where he is, and what goes without saying.

use super::harm::Effort;
use super::people::{Crew, State};
use super::rates::in_water;
use deepstay_core::record::{BreathingPath, Fitness, Refused, Whereabouts};
use deepstay_core::units::DiverId;
use deepstay_plant::{Activity, PeopleOrder};

impl Crew {
    /// Carries out an order at second `now_s`, if he can do it from where he is. `can_pass` says
    /// whether the way from one place to another is open.
    ///
    /// Some things go without saying. Who leaves the bell for the water has his helmet on: main gas, if
    /// he was not on a helmet already, and rest in water until told to work. Who comes back takes it
    /// off and tends. Who goes to another compartment leaves mask and helmet behind; a sleeper, and a
    /// bellman who leaves the bell, is then up and about (chores). Who is led or carried, being confused or worse, rests
    /// wherever he comes to.
    ///
    /// # Errors
    /// [`Refused::NoSuchThing`] for a diver or compartment that is not there, [`Refused::OutOfRange`]
    /// for a second before his last order, [`Refused::NotThere`] for what he cannot do from there,
    /// [`Refused::Unfit`] for what he is in no state to do.
    pub fn order(
        &mut self,
        now_s: i64,
        order: PeopleOrder,
        can_pass: &dyn Fn(Whereabouts, Whereabouts) -> bool,
    ) -> Result<(), Refused> {
        let diver = order.diver();
        let was = *self.states.get(diver.index()).ok_or(Refused::NoSuchThing)?;
        self.able(diver, order)?;
        let mut state = was;
        match order {
            PeopleOrder::Go { to, .. } => self.go(&mut state, to, can_pass)?,
            PeopleOrder::Do { activity, .. } => {
                if in_water(activity) != matches!(state.at, Whereabouts::Water(_)) {
                    return Err(Refused::NotThere);
                }
                state.activity = activity;
            }
            PeopleOrder::Breathe { path, .. } => {
                if !self.can_breathe(state.at, path) {
                    return Err(Refused::NotThere);
                }
                state.path = path;
            }
            PeopleOrder::Shower { at, .. } => {
                let Whereabouts::In(here) = state.at else {
                    return Err(Refused::NotThere);
                };
                if at.index() >= self.compartments {
                    return Err(Refused::NoSuchThing);
                }
                if here != at && !can_pass(state.at, Whereabouts::In(at)) {
                    return Err(Refused::NotThere);
                }
                state.activity = Activity::Chores;
            }
            PeopleOrder::ExchangeBailOut { .. } => {
                if matches!(state.at, Whereabouts::Water(_)) {
                    return Err(Refused::NotThere);
                }
                state.bottle = self.bail_out.full(self.surface_pa);
            }
            PeopleOrder::InboardStop { .. } => {
                if !matches!(state.at, Whereabouts::In(_)) {
                    return Err(Refused::NotThere);
                }
                if state.activity == Activity::Sleep {
                    state.activity = Activity::Chores;
                }
            }
        }
        if now_s < was.tally.since_s {
            return Err(Refused::OutOfRange);
        }
        if (state.at, state.activity, state.path) == (was.at, was.activity, was.path) {
            self.states[diver.index()].bottle = state.bottle;
            return Ok(());
        }
        state.tally = self.settle(diver, now_s);
        if (state.at, state.path) != (was.at, was.path) {
            state.tally.new_gas();
        }
        if was.at == Whereabouts::Deck && state.at != was.at {
            state.tally.leaves_deck(now_s);
        }
        if self.of_bell(was.at) && !self.of_bell(state.at) {
            state.tally.left_bell_s = Some(now_s);
        }
        self.states[diver.index()] = state;
        self.add_up();
        Ok(())
    }

    fn go(
        &self,
        state: &mut State,
        to: Whereabouts,
        can_pass: &dyn Fn(Whereabouts, Whereabouts) -> bool,
    ) -> Result<(), Refused> {
        if to == state.at {
            return Ok(());
        }
        if let Whereabouts::In(c) | Whereabouts::Water(c) = to
            && c.index() >= self.compartments
        {
            return Err(Refused::NoSuchThing);
        }
        let possible = match (state.at, to) {
            (Whereabouts::In(a), Whereabouts::Water(b)) => a == b && self.is_bell(b),
            (Whereabouts::Water(a), Whereabouts::In(b)) => a == b,
            (Whereabouts::Water(_), _) | (_, Whereabouts::Water(_)) => false,
            _ => true,
        };
        if !possible || !can_pass(state.at, to) {
            return Err(Refused::NotThere);
        }
        match (state.at, to) {
            (_, Whereabouts::Water(_)) => {
                if !matches!(state.path, BreathingPath::Main | BreathingPath::Secondary) {
                    state.path = BreathingPath::Main;
                }
                state.activity = Activity::WaterRest;
            }
            (Whereabouts::Water(_), _) => {
                state.path = BreathingPath::Ambient;
                state.activity = Activity::Bellman;
            }
            _ => {
                state.path = BreathingPath::Ambient;
                let bellman_leaves = state.activity == Activity::Bellman && self.of_bell(state.at);
                if state.activity == Activity::Sleep || bellman_leaves {
                    state.activity = Activity::Chores;
                }
            }
        }
        let led = state.body.fitness() > Fitness::Slow;
        if led && !in_water(state.activity) {
            state.activity = Activity::Rest;
        }
        state.at = to;
        Ok(())
    }

    /// Whether a diver is in a state to do it. A confused man puts a mask on if he is told, and rests; he goes where a
    /// fit one leads him, who is there or waits at the other end. Who is out, or dead, is carried like that.
    fn able(&self, diver: DiverId, order: PeopleOrder) -> Result<(), Refused> {
        let fitness = self.fitness(diver);
        let able = match order {
            _ if fitness <= Fitness::Slow => true,
            PeopleOrder::Go { to, .. } => self.led(diver, to),
            PeopleOrder::Do { activity, .. } => {
                fitness == Fitness::Confused && Effort::from(activity) == Effort::Rest
            }
            PeopleOrder::Breathe { .. } => fitness == Fitness::Confused,
            PeopleOrder::Shower { .. } | PeopleOrder::InboardStop { .. } => false,
            // Others do it for him.
            PeopleOrder::ExchangeBailOut { .. } => true,
        };
        able.then_some(()).ok_or(Refused::Unfit)
    }

    fn led(&self, diver: DiverId, to: Whereabouts) -> bool {
        let from = self.whereabouts(diver);
        self.ids().any(|d| {
            let fit = d != diver && self.fitness(d) <= Fitness::Slow;
            fit && [from, to].contains(&self.whereabouts(d))
        })
    }

    fn can_breathe(&self, at: Whereabouts, path: BreathingPath) -> bool {
        match path {
            BreathingPath::Ambient => !matches!(at, Whereabouts::Water(_)),
            BreathingPath::Bibs => matches!(at, Whereabouts::In(_)),
            BreathingPath::Main | BreathingPath::Secondary => self.of_bell(at),
            BreathingPath::BailOut => matches!(at, Whereabouts::Water(_)),
        }
    }
}
