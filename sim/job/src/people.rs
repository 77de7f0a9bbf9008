//! People in the job: orders to them, what they put on the gas, what they say, and what their
//! bodies stand.

use super::run::{Ended, Job};
use deepstay_core::record::{Entry, LineName, Refused, Sink, What, Whereabouts};
use deepstay_core::units::*;
use deepstay_crew as crew;
use deepstay_crew::{Crew, Person, Rates};
use deepstay_plant::PeopleOrder;
use deepstay_scenario::Scenario;

/// Oxygen below which a body is taken to fail, Pa: half the 0.16 bar that documents call hypoxic
/// (house rule of the model, not a limit for people).
const FAILS_PPO2_PA: f64 = 8_000.0;
/// Carbon dioxide above which a body is taken to fail, Pa: twice the 0.06 ata at which masks are put on.
const FAILS_PPCO2_PA: f64 = 12_000.0;
/// Seconds of it after which the job cannot go on.
const FAILS_AFTER_S: i64 = 1800;

/// The divers as the crew room knows them, on deck. The table of rates is the crew room's own, which
/// its tests hold valid; a crew without rates would be an empty crew.
pub(super) fn crew(scenario: &Scenario) -> Crew {
    let people = scenario
        .crew
        .iter()
        .map(|d| Person {
            initials: d.initials.clone(),
            mass_kg: d.mass_kg,
            factor: d.metabolism,
        })
        .collect();
    Crew::new(people, &scenario.rates, &scenario.steel, 0).unwrap_or_else(|_| {
        Crew::new(Vec::new(), &Rates::default(), &scenario.steel, 0)
            .expect("the default rates are valid")
    })
}

impl Job {
    pub(super) fn tell(&mut self, order: PeopleOrder, sink: &mut impl Sink) -> Result<(), Refused> {
        let (PeopleOrder::Go { diver, .. }
        | PeopleOrder::Do { diver, .. }
        | PeopleOrder::Breathe { diver, .. }) = order;
        if diver.index() >= self.scenario.crew.len() {
            return Err(Refused::NoSuchThing);
        }
        let now = self.now_s;
        self.advance_bodies();
        let (was_at, was_on) = (self.crew.whereabouts(diver), self.crew.path(diver));
        let plant = &self.plant;
        self.crew
            .order(now, order, &|from, to| plant.passage(from, to, now))?;
        let (to, path) = (self.crew.whereabouts(diver), self.crew.path(diver));
        if to != was_at {
            sink.take(Entry {
                at: now,
                what: What::Diver { diver, to },
            });
        }
        if path != was_on {
            sink.take(Entry {
                at: now,
                what: What::Breathing { diver, path },
            });
        }
        Ok(())
    }

    /// Brings everybody's running totals up to the present second.
    pub(super) fn advance_bodies(&mut self) {
        let mut airs = std::mem::take(&mut self.airs);
        airs.clear();
        airs.extend(self.crew.ids().map(|diver| self.breathed_by(diver)));
        self.crew
            .advance(self.now_s, &|diver: DiverId| airs[diver.index()]);
        self.airs = airs;
    }

    /// What a diver breathes now: the gas of his compartment, of his mask or helmet, or of the deck.
    fn breathed_by(&self, diver: DiverId) -> crew::Air {
        use deepstay_core::gas::Species;
        use deepstay_core::record::BreathingPath as Path;
        let (plant, steel) = (&self.plant, self.plant.steel());
        let (c, around) = match self.crew.whereabouts(diver) {
            Whereabouts::Deck => {
                let t_k = steel.deck_t_k;
                return crew::Air {
                    p_pa: steel.surface_pa,
                    ppo2_pa: 0.2095 * steel.surface_pa,
                    ppco2_pa: 0.0,
                    t_k,
                };
            }
            Whereabouts::In(c) => (c, plant.air(c, self.now_s)),
            Whereabouts::Water(bell) => (bell, plant.water_at(bell, self.now_s)),
        };
        let line = match self.crew.path(diver) {
            Path::Bibs => Some(LineName::Bibs(c)),
            Path::Main => Some(LineName::DiverMain(c)),
            Path::Secondary => Some(LineName::DiverSecondary(c)),
            Path::Ambient | Path::BailOut => None,
        };
        match line.and_then(|l| plant.line_mix(l)) {
            Some(mix) => crew::Air {
                p_pa: around.p_pa,
                ppo2_pa: mix[Species::O2] * around.p_pa,
                ppco2_pa: mix[Species::Co2] * around.p_pa,
                t_k: around.t_k,
            },
            None => crew::Air {
                p_pa: around.p_pa,
                ppo2_pa: around.ppo2_pa,
                ppco2_pa: around.ppco2_pa,
                t_k: around.t_k,
            },
        }
    }

    /// Tells the plant what people now put on each compartment and breathing path.
    pub(super) fn put_loads(&mut self) {
        if !self.crew.take_changes().any() {
            return;
        }
        for i in 0..self.scenario.steel.compartments.len() as u8 {
            let c = CompartmentId(i);
            self.plant.set_load(self.now_s, c, self.crew.load(c));
            for line in [
                LineName::Bibs(c),
                LineName::DiverMain(c),
                LineName::DiverSecondary(c),
            ] {
                self.plant
                    .set_path(self.now_s, line, self.crew.path_load(line));
            }
        }
    }

    pub(super) fn look_at_bodies(&mut self, sink: &mut impl Sink) {
        self.advance_bodies();
        let now = self.now_s;
        for d in 0..self.scenario.crew.len() as u8 {
            let diver = DiverId(d);
            let air = self.breathed_by(diver);
            let bad = air.ppo2_pa < FAILS_PPO2_PA || air.ppco2_pa > FAILS_PPCO2_PA;
            let since = &mut self.below_since[diver.index()];
            *since = if bad { since.or(Some(now)) } else { None };
            let warm_suit = match self.crew.whereabouts(diver) {
                Whereabouts::Water(bell) => self.plant.positions().hot_water(bell),
                Whereabouts::Deck | Whereabouts::In(_) => true,
            };
            if let Some(report) = self.crew.spoken(now, diver, &air, warm_suit) {
                self.say(diver, report, sink);
            }
        }
    }

    pub(super) fn body_failed(&self) -> Option<Ended> {
        let (d, _) = (0u8..)
            .zip(&self.below_since)
            .find(|(_, since)| since.is_some_and(|s| self.now_s - s >= FAILS_AFTER_S))?;
        let diver = DiverId(d);
        let air = self.breathed_by(diver);
        Some(if air.ppo2_pa < FAILS_PPO2_PA {
            Ended::Hypoxia(diver)
        } else {
            Ended::Hypercapnia(diver)
        })
    }

    pub(super) fn everybody_on_deck(&self) -> bool {
        (0..self.scenario.crew.len() as u8)
            .all(|d| self.crew.whereabouts(DiverId(d)) == Whereabouts::Deck)
    }

    pub(super) fn diver_totals(&mut self, sink: &mut impl Sink) {
        self.advance_bodies();
        for d in 0..self.scenario.crew.len() as u8 {
            let Some(t) = self.crew.totals(DiverId(d), self.now_s) else {
                continue;
            };
            let what = What::DiverTotals {
                diver: DiverId(d),
                bell_s: t.bell_s,
                water_s: t.water_s,
                pressure_s: t.pressure_s,
                o2_mol: t.o2_mol,
                co2_mol: t.co2_mol,
                uptd: t.uptd,
            };
            sink.take(Entry {
                at: self.now_s,
                what,
            });
        }
    }
}
