//! What was true at a second: made of a job that is looked back on, and of nothing else.

use deepstay::job::{Indicated, Job};
use deepstay::record::{Fitness, Whereabouts};
use deepstay::units::{Channel, CompartmentId, DiverId, Quantity};

/// The truth.
#[derive(Clone, Debug, PartialEq)]
pub struct Truth {
    /// Of each vessel, by its id: what its instruments are there to show.
    vessels: Vec<Vec<(Quantity, f64)>>,
    /// Of each diver, by his id: where he is, and how he is.
    pub divers: Vec<(Whereabouts, Fitness)>,
    /// What has gone wrong and is not put right, in words.
    pub faults: Vec<String>,
}

impl Truth {
    /// Of a job at its present second.
    pub(super) fn of(job: &Job) -> Truth {
        let (plant, crew, now_s) = (job.plant(), job.crew(), job.now());
        let seen = job.indicated();
        let vessels = (0u8..).map(CompartmentId).zip(&seen.vessels);
        let vessels = vessels.map(|(c, vessel)| {
            let quantities = vessel
                .readings
                .iter()
                .filter(|shown| shown.channel == Channel::Primary);
            quantities
                .map(|shown| (shown.quantity, plant.truth(c, shown.quantity, now_s)))
                .collect()
        });
        let scenario = job.scenario();
        let faults = scenario.faults.iter();
        let standing = faults
            .filter(|f| f.at <= now_s && f.until.is_none_or(|until| now_s < until))
            .map(|f| scenario.fault_words(&f.what));
        Truth {
            vessels: vessels.collect(),
            divers: crew
                .ids()
                .map(|d| (crew.whereabouts(d), crew.fitness(d)))
                .collect(),
            faults: standing.collect(),
        }
    }

    /// A quantity in a vessel.
    pub fn of_vessel(&self, c: CompartmentId, quantity: Quantity) -> Option<f64> {
        let of = self.vessels.get(c.index())?;
        of.iter()
            .find(|(q, _)| *q == quantity)
            .map(|(_, value)| *value)
    }

    /// What the watch would have seen, had every instrument shown the truth and everybody been where he was thought to be.
    pub fn over(&self, seen: &Indicated) -> Indicated {
        let mut true_of = seen.clone();
        for (c, vessel) in (0u8..).map(CompartmentId).zip(&mut true_of.vessels) {
            for shown in &mut vessel.readings {
                if let Some(value) = self.of_vessel(c, shown.quantity) {
                    shown.value = Some(value);
                    shown.at_ceiling = false;
                    shown.turned_to = None;
                }
            }
        }
        for (diver, (at, _)) in true_of.divers.iter_mut().zip(&self.divers) {
            diver.at = *at;
        }
        true_of
    }

    /// How a diver is.
    pub fn fitness(&self, diver: DiverId) -> Option<Fitness> {
        self.divers.get(diver.index()).map(|(_, fitness)| *fitness)
    }
}
