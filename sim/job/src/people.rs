//! People in the job: orders to them, what they put on the gas, what they say, and what becomes of their bodies.
//!
//! Bodies are followed at the seconds of [`People::next_s`]: every ten minutes while all that anybody breathes and
//! feels lies in the band in which no dose grows, and each second from the first at which something leaves it (the
//! plant's monitors wait for that) until everybody is at rest again.

use super::breath::{Around, HEADS_UNDER, breathed, heads_under};
use super::random::Streams;
use deepstay_core::record::{
    BreathingPath, Entry, Fitness, HarmCause, LineName, Refused, Sink, Spoken, Station, What,
    Whereabouts,
};
use deepstay_core::units::*;
use deepstay_crew::harm::Nature;
use deepstay_crew::{Air, Crew, FoundDiver, FoundDose, Person, Rates};
use deepstay_plant::{Activity, Breath, PeopleOrder, Plant, Watched, truly};
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Seconds between looks at bodies at rest.
const EVERY_S: i64 = 600;
/// Share of a bell that water must fill to be seen over the sill of its door (house figure).
const WATER_SEEN: f64 = 0.02;
/// Monitors are moved in steps of these, so that they need not be gathered anew at each look: bar, msw.
const STEP_BAR: f64 = 0.002;
const STEP_MSW: f64 = 0.5;

/// An order that a slow man has not carried out yet.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Pending {
    due_s: i64,
    station: Station,
    order: PeopleOrder,
}

/// What is watched of the plant for people: above or below a value.
pub(super) type Waited = (Watched, bool, f64);

/// The divers of a job.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct People {
    pub crew: Crew,
    sea_k: f64,
    /// Next second at which complaints are asked for.
    ask_s: i64,
    /// Next second at which bodies are followed.
    follow_s: i64,
    /// Since when each diver's mask or helmet has given nothing.
    no_gas_since_s: Vec<Option<i64>>,
    /// The bells of which it has been said that water comes up in them, as bits.
    water_told: u32,
    pending: Vec<Pending>,
    /// The first who died, and of what.
    died: Option<(DiverId, HarmCause)>,
    #[serde(skip)]
    airs: Vec<Air>,
}

impl People {
    /// Everybody on deck at a second. The table of rates is the scenario's, which is checked; a crew without rates would
    /// be an empty crew.
    pub fn new(scenario: &Scenario, at_s: i64) -> People {
        let streams = Streams::new(scenario.seed);
        let bodies = scenario
            .crew
            .iter()
            .map(|d| Person {
                initials: d.initials.clone(),
                mass_kg: d.mass_kg,
                factor: d.metabolism,
                nature: nature(scenario, &streams, &d.initials),
            })
            .collect();
        let crew = Crew::new(bodies, &scenario.rates, &scenario.steel, at_s).unwrap_or_else(|_| {
            Crew::new(Vec::new(), &Rates::default(), &scenario.steel, at_s)
                .expect("the default rates are valid")
        });
        People {
            no_gas_since_s: vec![None; crew.len()],
            water_told: 0,
            crew: crew
                .with_harm(Arc::clone(&scenario.harm), scenario.bail_out)
                .with_voices(Arc::clone(&scenario.voices)),
            sea_k: scenario.site.sea_t_k,
            ask_s: at_s + ask_every_s(scenario),
            follow_s: at_s + EVERY_S,
            pending: Vec::new(),
            died: None,
            airs: Vec::new(),
        }
    }

    /// Somebody is found somewhere at the first second, in what there is to breathe.
    pub fn find(
        &mut self,
        now_s: i64,
        diver: DiverId,
        at: Whereabouts,
        dose: Option<FoundDose>,
        plant: &Plant,
    ) {
        let path = BreathingPath::Ambient;
        let air = self.breathed_by(diver, now_s, plant);
        let found = |air| FoundDiver {
            at,
            path,
            air,
            dose,
        };
        self.crew.find(diver, &found(air));
        // Only now is it known where he is, and so what he breathes.
        let air = self.breathed_by(diver, now_s, plant);
        self.crew.find(diver, &found(air));
    }

    /// Everybody who is not on deck, and where.
    pub fn under_pressure(&self) -> impl Iterator<Item = (DiverId, Whereabouts)> + '_ {
        let ids = self.crew.ids().map(|d| (d, self.crew.whereabouts(d)));
        ids.filter(|(_, at)| *at != Whereabouts::Deck)
    }

    /// Puts back what is not saved with the state.
    pub fn attach(&mut self, scenario: &Scenario) {
        self.crew
            .attach(Arc::clone(&scenario.harm), Arc::clone(&scenario.voices));
    }

    /// Next second at which people are looked at.
    pub fn next_s(&self) -> i64 {
        let due = self.pending.iter().map(|p| p.due_s).min();
        self.ask_s.min(self.follow_s).min(due.unwrap_or(i64::MAX))
    }

    /// The first who died, and of what.
    pub fn died(&self) -> Option<(DiverId, HarmCause)> {
        self.died
    }

    /// Carries out an order to a diver at a second; a slow man has done it a while later.
    pub fn obey(
        &mut self,
        now_s: i64,
        station: Station,
        order: PeopleOrder,
        plant: &Plant,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let diver = order.diver();
        if diver.index() >= self.crew.len() {
            return Err(Refused::NoSuchThing);
        }
        if let Some(later_s) = self.takes_longer_s(diver, order) {
            if !self.pending.iter().any(|p| p.order == order) {
                self.pending.push(Pending {
                    due_s: now_s + later_s,
                    station,
                    order,
                });
            }
            return Ok(());
        }
        self.act(now_s, diver, order, plant, sink)
    }

    /// Carries out what a diver was told to do, and took his time over, at the second at which he says that it is done.
    pub fn obey_in_his_time(
        &mut self,
        now_s: i64,
        order: PeopleOrder,
        plant: &Plant,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        self.act(now_s, order.diver(), order, plant, sink)
    }

    /// How much longer a slow man takes over an act than the others, s; none where it makes no difference.
    fn takes_longer_s(&self, diver: DiverId, order: PeopleOrder) -> Option<i64> {
        let f = self.crew.figures();
        let act_s = match order {
            PeopleOrder::Go { to, .. } if to != self.crew.whereabouts(diver) => f.act_go,
            PeopleOrder::Breathe { path, .. } if path != self.crew.path(diver) => f.act_mask,
            PeopleOrder::Go { .. }
            | PeopleOrder::Breathe { .. }
            | PeopleOrder::Do { .. }
            | PeopleOrder::Shower { .. }
            | PeopleOrder::ExchangeBailOut { .. }
            | PeopleOrder::InboardStop { .. } => return None,
        };
        let slow = self.crew.fitness(diver) == Fitness::Slow;
        slow.then_some(((f.slow_times - 1.0) * act_s).round().max(1.0) as i64)
    }

    fn act(
        &mut self,
        now_s: i64,
        diver: DiverId,
        order: PeopleOrder,
        plant: &Plant,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        self.advance(now_s, plant);
        let (was_at, was_on) = (self.crew.whereabouts(diver), self.crew.path(diver));
        let was_at_work = self.crew.activity(diver);
        self.crew
            .order(now_s, order, &|from, to| plant.passage(from, to, now_s))?;
        let (to, path) = (self.crew.whereabouts(diver), self.crew.path(diver));
        let mut put = |what| sink.take(Entry { at: now_s, what });
        if to != was_at {
            put(What::Diver { diver, to });
        }
        if path != was_on {
            let from = was_on;
            put(What::Breathing { diver, from, path });
        }
        if (to, path, self.crew.activity(diver)) != (was_at, was_on, was_at_work) {
            // He breathes other gas, or more of it, from here on: whether it is fit is seen a second later.
            self.no_gas_since_s[diver.index()] = None;
            self.follow_s = self.follow_s.min(now_s + 1);
        }
        Ok(())
    }

    /// Brings everybody's running totals and body up to a second.
    pub fn advance(&mut self, now_s: i64, plant: &Plant) {
        let mut airs = std::mem::take(&mut self.airs);
        airs.clear();
        airs.extend(
            self.crew
                .ids()
                .map(|diver| self.breathed_by(diver, now_s, plant)),
        );
        self.crew
            .advance(now_s, &|diver: DiverId| airs[diver.index()]);
        self.airs = airs;
    }

    /// Something that somebody breathes or feels has left its band within the last second: until then it was within.
    pub fn roused(&mut self, now_s: i64, plant: &Plant) {
        self.advance(now_s - 1, plant);
        self.follow_s = now_s;
    }

    /// What the gauge of a diver's bail-out shows, bar.
    pub fn bail_out_bar(&self, diver: DiverId) -> Option<f64> {
        Some(self.crew.bail_out_gauge_pa(diver)? / BAR_PA)
    }

    /// What a diver breathes: the gas of his compartment, of his mask or helmet, or of the deck.
    pub fn breathed_by(&self, diver: DiverId, now_s: i64, plant: &Plant) -> Air {
        breathed(&Around {
            plant,
            crew: &self.crew,
            sea_k: self.sea_k,
            now_s,
            diver,
        })
    }

    /// Tells the plant what people now put on each compartment and breathing path.
    pub fn put_loads(&mut self, now_s: i64, plant: &mut Plant) {
        if !self.crew.take_changes().any() {
            return;
        }
        for i in 0..plant.steel().compartments.len() as u8 {
            let c = CompartmentId(i);
            plant.set_load(now_s, c, self.crew.load(c));
            for line in [
                LineName::Bibs(c),
                LineName::DiverMain(c),
                LineName::DiverSecondary(c),
            ] {
                plant.set_path(now_s, line, self.crew.path_load(line));
            }
        }
    }

    /// Looks after everybody who is due at a second: what slow men have done by now, what has become of bodies, who has
    /// no gas, and what is then said. Gives what is said, and whether anything was looked at.
    pub fn look(
        &mut self,
        now_s: i64,
        plant: &Plant,
        pressed: &dyn Fn(CompartmentId) -> bool,
        sink: &mut impl Sink,
    ) -> Option<Vec<(DiverId, Spoken)>> {
        if now_s < self.next_s() {
            return None;
        }
        let mut said = Vec::new();
        self.do_what_is_pending(now_s, plant, sink);
        self.advance(now_s, plant);
        self.tell_steps(now_s, sink, &mut said);
        self.help_themselves(now_s, plant, sink, &mut said);
        self.tell_of_water(now_s, plant, &mut said);
        let at_rest = self.crew.at_rest();
        if now_s >= self.ask_s {
            self.ask(now_s, plant, pressed, &mut said);
            self.ask_s = now_s + self.crew.voices().spoken_of_every as i64;
        }
        self.follow_s = if at_rest { now_s + EVERY_S } else { now_s + 1 };
        Some(said)
    }

    fn do_what_is_pending(&mut self, now_s: i64, plant: &Plant, sink: &mut impl Sink) {
        while let Some(k) = self.pending.iter().position(|p| p.due_s <= now_s) {
            let Pending { station, order, .. } = self.pending.remove(k);
            let diver = order.diver();
            if let Err(why) = self.act(now_s, diver, order, plant, sink) {
                let what = What::Refused { station, why };
                sink.take(Entry { at: now_s, what });
            }
        }
    }

    /// Writes every change of a state, and what can be heard of it.
    fn tell_steps(&mut self, now_s: i64, sink: &mut impl Sink, said: &mut Vec<(DiverId, Spoken)>) {
        for (diver, step) in self.crew.take_steps() {
            let what = What::Fitness {
                diver,
                from: step.from,
                to: step.to,
                cause: step.cause,
            };
            sink.take(Entry { at: now_s, what });
            let heard = self.crew.figures().heard(step.cause, step.to).spoken();
            let was_heard = self.crew.figures().heard(step.cause, step.from).spoken();
            match (heard, step.to) {
                (Some(report), _) if heard != was_heard => said.push((diver, report)),
                (None, Fitness::Well) if was_heard.is_some() => said.push((diver, Spoken::Well)),
                _ => {}
            }
            if step.to == Fitness::Dead {
                self.died = self.died.or(Some((diver, step.cause)));
            }
        }
    }

    /// Whose mask or helmet gives nothing says so, and after a moment takes the mask off or opens his bail-out, if he
    /// is well enough.
    fn help_themselves(
        &mut self,
        now_s: i64,
        plant: &Plant,
        sink: &mut impl Sink,
        said: &mut Vec<(DiverId, Spoken)>,
    ) {
        for diver in self.crew.ids() {
            let i = diver.index();
            let fitness = self.crew.fitness(diver);
            if self.airs[i].flows || fitness > Fitness::Slow {
                self.no_gas_since_s[i] = None;
                continue;
            }
            let on = self.crew.path(diver);
            let since_s = *self.no_gas_since_s[i].get_or_insert_with(|| {
                if on != BreathingPath::Ambient {
                    said.push((diver, Spoken::NoGas));
                }
                now_s
            });
            let f = self.crew.figures();
            let slow = if fitness == Fitness::Slow {
                f.slow_times
            } else {
                1.0
            };
            if ((now_s - since_s) as f64) < f.act_no_gas * slow {
                continue;
            }
            let path = match (self.crew.whereabouts(diver), self.crew.path(diver)) {
                (Whereabouts::Water(_), BreathingPath::BailOut) => continue,
                (Whereabouts::Water(_), _) => BreathingPath::BailOut,
                // Under water in the bell there is a mask, as long as it gives anything.
                (Whereabouts::In(c), _) if heads_under(plant, c, now_s) => {
                    let mask = plant.breath(LineName::Bibs(c), now_s).is_some();
                    if on == BreathingPath::Bibs || !mask {
                        continue;
                    }
                    BreathingPath::Bibs
                }
                (Whereabouts::In(_) | Whereabouts::Deck, _) => BreathingPath::Ambient,
            };
            let order = PeopleOrder::Breathe { diver, path };
            // He may always take a mask off or open his own bottle.
            let done = self.act(now_s, diver, order, plant, sink);
            debug_assert_eq!(done, Ok(()));
        }
    }

    /// One of those in a bell in which water comes up says so, once each time.
    fn tell_of_water(&mut self, now_s: i64, plant: &Plant, said: &mut Vec<(DiverId, Spoken)>) {
        let bells = (0u8..)
            .zip(&plant.steel().compartments)
            .filter(|(_, c)| c.bell.is_some());
        for c in bells.map(|(i, _)| CompartmentId(i)) {
            let share = truly(plant, Watched::Flooded(c), now_s);
            let bit = 1 << c.index();
            if share < 0.5 * WATER_SEEN {
                self.water_told &= !bit;
            }
            let can = |d: &DiverId| self.crew.fitness(*d) <= Fitness::Slow;
            let speaker = self.crew.inside(c).find(can);
            if let (Some(diver), true) = (speaker, share >= WATER_SEEN)
                && self.water_told & bit == 0
            {
                self.water_told |= bit;
                said.push((diver, Spoken::Water));
            }
        }
    }

    fn ask(
        &mut self,
        now_s: i64,
        plant: &Plant,
        pressed: &dyn Fn(CompartmentId) -> bool,
        said: &mut Vec<(DiverId, Spoken)>,
    ) {
        for diver in self.crew.ids() {
            let air = self.breathed_by(diver, now_s, plant);
            let warm_suit = self.is_suit_warm(diver, plant);
            if let Some(report) = self.crew.spoken(now_s, diver, &air, warm_suit) {
                said.push((diver, report));
            }
            let feels_ears =
                matches!(self.crew.whereabouts(diver), Whereabouts::In(c) if pressed(c));
            let speaks = self.crew.fitness(diver) <= Fitness::Slow
                && self.crew.activity(diver) != Activity::Sleep;
            if feels_ears && speaks {
                said.push((diver, Spoken::Ears));
            }
        }
    }

    /// Whether a diver's suit is kept warm; in the dry nobody needs one.
    pub fn is_suit_warm(&self, diver: DiverId, plant: &Plant) -> bool {
        match self.crew.whereabouts(diver) {
            Whereabouts::Water(bell) => plant.positions().hot_water(bell),
            Whereabouts::Deck | Whereabouts::In(_) => true,
        }
    }

    /// What the plant is to wait for on behalf of people: anything that somebody breathes or feels leaving the band in
    /// which he is in no danger. Nothing while they are followed at each second.
    pub fn waits_for(&self, plant: &Plant) -> Vec<Waited> {
        let surface_pa = plant.steel().surface_pa;
        let mut waited = Vec::new();
        if !self.crew.at_rest() {
            return waited;
        }
        for diver in self.crew.ids() {
            let Some((edges, p_pa)) = self.crew.edges(diver) else {
                continue;
            };
            let (Whereabouts::In(c) | Whereabouts::Water(c)) = self.crew.whereabouts(diver) else {
                continue;
            };
            let depth_msw = STEP_MSW * ((p_pa - surface_pa) / MSW_PA / STEP_MSW).ceil();
            let at_depth = match self.crew.whereabouts(diver) {
                Whereabouts::Water(_) => Quantity::SeaDepth,
                Whereabouts::In(_) | Whereabouts::Deck => Quantity::Depth,
            };
            add(&mut waited, (Watched::True(c, at_depth), false, depth_msw));
            if let Some((low_k, high_k)) = edges.t_k {
                let t = Watched::True(c, Quantity::Temperature);
                add(&mut waited, (t, false, low_k));
                add(&mut waited, (t, true, high_k));
            }
            if let Whereabouts::In(c) = self.crew.whereabouts(diver) {
                let share = match self.water_told & (1 << c.index()) {
                    0 => WATER_SEEN,
                    _ => HEADS_UNDER,
                };
                if plant.steel().compartments[c.index()].bell.is_some() {
                    add(&mut waited, (Watched::Flooded(c), true, share));
                }
            }
            let line = match self.crew.path(diver) {
                BreathingPath::Bibs => Some(LineName::Bibs(c)),
                BreathingPath::Main => Some(LineName::DiverMain(c)),
                BreathingPath::Secondary => Some(LineName::DiverSecondary(c)),
                BreathingPath::Ambient | BreathingPath::BailOut => None,
            };
            let (o2, co2) = match line {
                Some(line) => {
                    add(
                        &mut waited,
                        (Watched::Breath(line, Breath::Over), false, 0.0),
                    );
                    (
                        Watched::Breath(line, Breath::PpO2),
                        Watched::Breath(line, Breath::PpCo2),
                    )
                }
                None => (
                    Watched::True(c, Quantity::PpO2),
                    Watched::True(c, Quantity::PpCo2),
                ),
            };
            let up = |pa: f64| STEP_BAR * (pa / BAR_PA / STEP_BAR).ceil();
            let down = |pa: f64| STEP_BAR * (pa / BAR_PA / STEP_BAR).floor();
            add(&mut waited, (o2, false, up(edges.ppo2_low_pa)));
            add(&mut waited, (o2, true, down(edges.ppo2_high_pa)));
            add(&mut waited, (co2, true, down(edges.ppco2_pa)));
        }
        waited
    }

    pub fn everybody_on_deck(&self) -> bool {
        self.crew
            .ids()
            .all(|diver| self.crew.whereabouts(diver) == Whereabouts::Deck)
    }

    /// Writes everybody's totals, and what has become of bodies since they were last looked at.
    pub fn give_totals(&mut self, now_s: i64, plant: &Plant, sink: &mut impl Sink) {
        self.advance(now_s, plant);
        self.tell_steps(now_s, sink, &mut Vec::new());
        for diver in self.crew.ids() {
            let Some(t) = self.crew.totals(diver, now_s) else {
                continue;
            };
            let what = What::DiverTotals {
                diver,
                bell_s: t.bell_s,
                water_s: t.water_s,
                pressure_s: t.pressure_s,
                o2_mol: t.o2_mol,
                co2_mol: t.co2_mol,
                uptd: t.uptd,
            };
            sink.take(Entry { at: now_s, what });
        }
    }
}

/// How often what people feel is looked at, s.
fn ask_every_s(scenario: &Scenario) -> i64 {
    scenario.voices.spoken_of_every as i64
}

/// Adds what is waited for; of two of one kind the nearer is kept.
fn add(waited: &mut Vec<Waited>, (watched, above, value): Waited) {
    match waited.iter_mut().find(|w| w.0 == watched && w.1 == above) {
        Some(known) if above => known.2 = known.2.min(value),
        Some(known) => known.2 = known.2.max(value),
        None => waited.push((watched, above, value)),
    }
}

/// A person's nature, drawn by his name under the job's seed: his for the whole job, whatever else is drawn.
fn nature(scenario: &Scenario, streams: &Streams, initials: &str) -> Nature {
    let mut draw = streams.named(&format!("nature of {initials}"), 0);
    let (times, oxygen) = (draw.normal(0.0, 1.0), draw.normal(0.0, 1.0));
    Nature::drawn(&scenario.harm, times, oxygen, draw.uniform())
}
