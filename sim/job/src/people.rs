//! People in the job: orders to them, what they put on the gas, what they say, and what their
//! bodies stand.

use super::ended::Ended;
use deepstay_core::gas::Species;
use deepstay_core::record::{
    BreathingPath, Entry, LineName, Refused, Sink, Spoken, What, Whereabouts,
};
use deepstay_core::units::*;
use deepstay_crew::{Air, Crew, Person, Rates};
use deepstay_plant::{PeopleOrder, Plant};
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};

/// Oxygen below which a body is taken to fail, Pa: half the 0.16 bar that documents call hypoxic
/// (house rule of the model, not a limit for people).
const FAILS_PPO2_PA: f64 = 8_000.0;
/// Carbon dioxide above which a body is taken to fail, Pa: twice the 0.06 ata at which masks are put on.
const FAILS_PPCO2_PA: f64 = 12_000.0;
/// Seconds of it after which the job cannot go on.
const FAILS_AFTER_S: i64 = 1800;

/// The divers of a job, and since when each has breathed what no body stands.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct People {
    pub crew: Crew,
    below_since: Vec<Option<i64>>,
    #[serde(skip)]
    airs: Vec<Air>,
}

impl People {
    /// Everybody on deck. The table of rates is the scenario's, which is checked; a crew without rates would be
    /// an empty crew.
    pub fn new(scenario: &Scenario) -> People {
        let bodies = scenario
            .crew
            .iter()
            .map(|d| Person {
                initials: d.initials.clone(),
                mass_kg: d.mass_kg,
                factor: d.metabolism,
            })
            .collect();
        let crew = Crew::new(bodies, &scenario.rates, &scenario.steel, 0).unwrap_or_else(|_| {
            Crew::new(Vec::new(), &Rates::default(), &scenario.steel, 0)
                .expect("the default rates are valid")
        });
        People {
            below_since: vec![None; crew.len()],
            crew,
            airs: Vec::new(),
        }
    }

    /// Carries out an order to a diver at a second.
    pub fn obey(
        &mut self,
        now_s: i64,
        order: PeopleOrder,
        plant: &Plant,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let (PeopleOrder::Go { diver, .. }
        | PeopleOrder::Do { diver, .. }
        | PeopleOrder::Breathe { diver, .. }) = order;
        if diver.index() >= self.crew.len() {
            return Err(Refused::NoSuchThing);
        }
        self.advance(now_s, plant);
        let (was_at, was_on) = (self.crew.whereabouts(diver), self.crew.path(diver));
        self.crew
            .order(now_s, order, &|from, to| plant.passage(from, to, now_s))?;
        let (to, path) = (self.crew.whereabouts(diver), self.crew.path(diver));
        let mut put = |what| sink.take(Entry { at: now_s, what });
        if to != was_at {
            put(What::Diver { diver, to });
        }
        if path != was_on {
            put(What::Breathing { diver, path });
        }
        Ok(())
    }

    /// Brings everybody's running totals up to a second.
    fn advance(&mut self, now_s: i64, plant: &Plant) {
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

    /// What a diver breathes: the gas of his compartment, of his mask or helmet, or of the deck.
    pub fn breathed_by(&self, diver: DiverId, now_s: i64, plant: &Plant) -> Air {
        let steel = plant.steel();
        let (c, around) = match self.crew.whereabouts(diver) {
            Whereabouts::Deck => {
                return Air {
                    p_pa: steel.surface_pa,
                    ppo2_pa: 0.2095 * steel.surface_pa,
                    ppco2_pa: 0.0,
                    t_k: steel.deck_t_k,
                };
            }
            Whereabouts::In(c) => (c, plant.air(c, now_s)),
            Whereabouts::Water(bell) => (bell, plant.water_at(bell, now_s)),
        };
        let line = match self.crew.path(diver) {
            BreathingPath::Bibs => Some(LineName::Bibs(c)),
            BreathingPath::Main => Some(LineName::DiverMain(c)),
            BreathingPath::Secondary => Some(LineName::DiverSecondary(c)),
            BreathingPath::Ambient | BreathingPath::BailOut => None,
        };
        let (ppo2_pa, ppco2_pa) = match line.and_then(|l| plant.delivered(l, now_s)) {
            Some(gas) => (gas.partial_pa(Species::O2), gas.partial_pa(Species::Co2)),
            None => (around.ppo2_pa, around.ppco2_pa),
        };
        Air {
            p_pa: around.p_pa,
            ppo2_pa,
            ppco2_pa,
            t_k: around.t_k,
        }
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

    /// Looks at everybody's body; gives what they then say.
    pub fn look(&mut self, now_s: i64, plant: &Plant) -> Vec<(DiverId, Spoken)> {
        self.advance(now_s, plant);
        let mut said = Vec::new();
        for diver in self.crew.ids() {
            let air = self.breathed_by(diver, now_s, plant);
            let bad = air.ppo2_pa < FAILS_PPO2_PA || air.ppco2_pa > FAILS_PPCO2_PA;
            let since = &mut self.below_since[diver.index()];
            *since = if bad { since.or(Some(now_s)) } else { None };
            let warm_suit = match self.crew.whereabouts(diver) {
                Whereabouts::Water(bell) => plant.positions().hot_water(bell),
                Whereabouts::Deck | Whereabouts::In(_) => true,
            };
            if let Some(report) = self.crew.spoken(now_s, diver, &air, warm_suit) {
                said.push((diver, report));
            }
        }
        said
    }

    /// The end that a body makes of the job, where one has stood too much for too long.
    pub fn failed(&self, now_s: i64, plant: &Plant) -> Option<Ended> {
        let (diver, _) = self
            .crew
            .ids()
            .zip(&self.below_since)
            .find(|(_, since)| since.is_some_and(|s| now_s - s >= FAILS_AFTER_S))?;
        let air = self.breathed_by(diver, now_s, plant);
        Some(if air.ppo2_pa < FAILS_PPO2_PA {
            Ended::Hypoxia(diver)
        } else {
            Ended::Hypercapnia(diver)
        })
    }

    pub fn everybody_on_deck(&self) -> bool {
        self.crew
            .ids()
            .all(|diver| self.crew.whereabouts(diver) == Whereabouts::Deck)
    }

    /// Writes everybody's totals.
    pub fn give_totals(&mut self, now_s: i64, plant: &Plant, sink: &mut impl Sink) {
        self.advance(now_s, plant);
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
