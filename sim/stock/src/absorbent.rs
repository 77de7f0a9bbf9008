//! Absorbent as stock and demand: what is aboard at the start, and what each job changes by day. A canister goes in
//! whole, from what is spare on deck; the bell's own spare stays in the bell, as its bottles do (house rule). A job goes on
//! as though there were always another canister, so that what it asks for is never cut short.

use super::by_day::{chances_of, first_days};
use super::{Canister, ChanceDay, Estimate, FanDay, FirstDays, Replicate, dives_to_come, estimate};
use deepstay_plant::Steel;

/// What rounding of a sum of canisters can do, kg.
const ROUNDING_KG: f64 = 1e-6;

/// What is aboard at the start, and the minimum that it is held against.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AbsorbentStock {
    /// The first filling of every scrubber, kg.
    pub in_scrubbers_kg: f64,
    /// Beside it on deck, kg; none where the study does not say.
    pub spare_kg: Option<f64>,
    /// The bell's own spare, kg: it stays there.
    pub in_bell_kg: f64,
    /// What of all that counts towards the minimum of the chambers, kg.
    pub counts_kg: f64,
    /// The minimum of the chambers, kg; 0 where nothing asks for one.
    pub minimum_kg: f64,
    /// What of that is for the way home, kg: once the last dive is over it may be used.
    pub home_kg: f64,
}

impl AbsorbentStock {
    /// Whether the minimum is met at the start; only then does a chance speak of it.
    pub fn is_met(&self) -> bool {
        self.counts_kg >= self.minimum_kg
    }

    /// Whether so much changed leaves less than the minimum while dives are to come, or after the last.
    pub fn is_below(&self, changed_kg: f64, diving: bool) -> bool {
        let least_kg = self.minimum_kg - if diving { 0.0 } else { self.home_kg };
        self.spare_kg.is_some()
            && self.is_met()
            && self.counts_kg - changed_kg < least_kg - ROUNDING_KG
    }

    /// Whether so much changed is more than there was beside the first filling.
    pub fn is_short(&self, changed_kg: f64) -> bool {
        self.spare_kg
            .is_some_and(|spare_kg| changed_kg > spare_kg + ROUNDING_KG)
    }
}

/// Canisters of one size.
#[derive(Clone, Debug, PartialEq)]
pub struct CanisterSize {
    /// Absorbent in one, as the scenario has it, kg.
    pub kg: f64,
    /// Scrubbers that take this size.
    pub scrubbers: u32,
    /// Whole canisters that the spare fills, were it all for this size; none where the study does not say what is spare.
    pub spare_fills: Option<u32>,
    /// How many of them a job changes.
    pub changed: Estimate,
    /// The same of each job by itself, in the order of the jobs.
    pub each: Vec<u32>,
}

/// What an ensemble says of absorbent.
#[derive(Clone, Debug, PartialEq)]
pub struct AbsorbentAnswer {
    /// What is aboard at the start.
    pub stock: AbsorbentStock,
    /// What a job changes, kg.
    pub changed: Estimate,
    /// By size of canister, the largest first.
    pub sizes: Vec<CanisterSize>,
    /// What is left of the spare at the end of each day, kg; below nothing by what is wanting. Empty where the study does
    /// not say what is spare.
    pub days: Vec<FanDay>,
    /// Chance that what is left has been below its minimum, and that there was too little for a canister, by each day;
    /// empty where the study does not say what is spare.
    pub chance: Vec<ChanceDay>,
    /// The same of each job by itself, in the order of the jobs.
    pub first: Vec<FirstDays>,
}

/// Absorbent in the canister of each compartment, kg; none where there is no scrubber.
pub(super) fn canisters(steel: &Steel) -> impl Iterator<Item = Option<f64>> {
    let of = |c: &deepstay_plant::Compartment| c.scrubber.map(|s| s.absorbent_kg);
    steel.compartments.iter().map(of)
}

/// What a job has changed by the end of a day, kg; what it was last where the list ends sooner.
pub fn changed_kg(job: &Replicate, day: usize) -> f64 {
    let days = &job.absorbent_changed_kg;
    days.get(day).or(days.last()).copied().unwrap_or(0.0)
}

/// How many canisters a job changed in the scrubbers that have one size in the scenario.
fn changed_of_size(steel: &Steel, job: &Replicate, kg: f64) -> u32 {
    let sizes: Vec<Option<f64>> = canisters(steel).collect();
    let mine = |c: &&Canister| sizes.get(usize::from(c.compartment)) == Some(&Some(kg));
    job.canisters.iter().filter(mine).map(|c| c.changed).sum()
}

/// What these jobs say of absorbent; none where no scrubber is fitted.
pub(super) fn absorbent(
    steel: &Steel,
    jobs: &[Replicate],
    days: usize,
    stock: &AbsorbentStock,
) -> Option<AbsorbentAnswer> {
    let mut sizes: Vec<f64> = canisters(steel).flatten().collect();
    if sizes.is_empty() {
        return None;
    }
    sizes.sort_by(|a, b| b.total_cmp(a));
    sizes.dedup();
    let of_size = |kg: f64| {
        let each: Vec<u32> = jobs.iter().map(|j| changed_of_size(steel, j, kg)).collect();
        let changed: Vec<f64> = each.iter().map(|n| f64::from(*n)).collect();
        let fills = |spare_kg: f64| ((spare_kg + ROUNDING_KG) / kg).floor() as u32;
        CanisterSize {
            kg,
            scrubbers: canisters(steel).filter(|c| *c == Some(kg)).count() as u32,
            spare_fills: stock.spare_kg.map(fills),
            changed: estimate(&changed),
            each,
        }
    };
    let first = first_days(
        jobs,
        days,
        &|job, day| stock.is_below(changed_kg(job, day), dives_to_come(job, day)),
        &|job, day| stock.is_short(changed_kg(job, day)),
    );
    let left = |spare_kg: f64, day: usize| -> FanDay {
        let each: Vec<f64> = jobs.iter().map(|j| spare_kg - changed_kg(j, day)).collect();
        FanDay::of(day as u32, &each)
    };
    let said = stock.spare_kg.is_some();
    Some(AbsorbentAnswer {
        stock: *stock,
        changed: estimate(
            &jobs
                .iter()
                .map(|j| changed_kg(j, days))
                .collect::<Vec<f64>>(),
        ),
        sizes: sizes.into_iter().map(of_size).collect(),
        days: stock.spare_kg.map_or_else(Vec::new, |spare| {
            (0..=days).map(|d| left(spare, d)).collect()
        }),
        chance: if said {
            chances_of(&first, days)
        } else {
            Vec::new()
        },
        first,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    /// The spread of the six-man job: canisters of 14, 8, 6, 8 and 8 kg, and the loop's of 20 kg.
    fn steel() -> Arc<deepstay_scenario::Scenario> {
        Arc::new(deepstay_scenario::load("six-man").unwrap_or_else(|bad| panic!("{bad}")))
    }

    /// A job that has changed so much by the start and by the end of each day, in the first scrubber.
    fn job(number: u64, changed_kg: &[f64], last_dive_d: i64) -> Replicate {
        Replicate {
            number,
            absorbent_changed_kg: changed_kg.to_vec(),
            canisters: vec![Canister {
                compartment: 0,
                kg: 14.0,
                changed: (changed_kg.last().unwrap_or(&0.0) / 14.0) as u32,
            }],
            last_dive_s: last_dive_d * 86_400,
            ..Replicate::default()
        }
    }

    /// Of 42 kg spare three canisters of 14 kg can be filled: the job that changes three has just enough, the one that
    /// changes four is short from the day of its fourth.
    #[test]
    fn just_enough_lasts_and_one_canister_more_does_not() {
        let jobs = [
            job(0, &[0.0, 14.0, 28.0, 42.0], 3),
            job(1, &[0.0, 28.0, 42.0, 56.0], 3),
            job(2, &[0.0, 0.0, 14.0, 14.0], 3),
        ];
        let scenario = steel();
        let found = |spare_kg| {
            let stock = AbsorbentStock {
                spare_kg,
                ..AbsorbentStock::default()
            };
            absorbent(&scenario.steel, &jobs, 3, &stock).expect("scrubbers")
        };
        let short = |spare_kg: f64| -> Vec<Option<u32>> {
            let found = found(Some(spare_kg));
            found.first.iter().map(|f| f.stopped).collect()
        };
        assert_eq!(short(42.0), [None, Some(3), None]);
        assert_eq!(short(41.9), [Some(3), Some(2), None]);
        assert_eq!(short(56.0), [None, None, None]);
        let made = found(Some(42.0));
        let hits: Vec<u64> = made.chance.iter().map(|c| c.stopped.hits).collect();
        assert_eq!(hits, [0, 0, 0, 1]);
        assert_eq!((made.days[3].least, made.days[3].p50), (-14.0, 0.0));
        assert_eq!((made.changed.least, made.changed.most), (14.0, 56.0));
        let sizes: Vec<(f64, u32, Option<u32>)> = made
            .sizes
            .iter()
            .map(|s| (s.kg, s.scrubbers, s.spare_fills))
            .collect();
        let wanted = [
            (20.0, 1, Some(2)),
            (14.0, 1, Some(3)),
            (8.0, 3, Some(5)),
            (6.0, 1, Some(7)),
        ];
        assert_eq!(sizes, wanted);
        assert_eq!(made.sizes[1].each, [3, 4, 1]);
        let unsaid = found(None);
        assert!(unsaid.chance.is_empty() && unsaid.days.is_empty());
        assert!(unsaid.first.iter().all(|f| *f
            == FirstDays {
                minimum: None,
                stopped: None
            }));
    }

    /// 100 kg count, 60 must be held, 25 of them for the way home: while dives are to come 40 may go, after the last 65.
    #[test]
    fn the_way_home_may_be_used_once_the_last_dive_is_over() {
        let stock = AbsorbentStock {
            spare_kg: Some(80.0),
            counts_kg: 100.0,
            minimum_kg: 60.0,
            home_kg: 25.0,
            ..AbsorbentStock::default()
        };
        assert!(!stock.is_below(40.0, true) && stock.is_below(40.1, true));
        assert!(!stock.is_below(65.0, false) && stock.is_below(65.1, false));
        // What is not met at the start is in no chance.
        let unmet = AbsorbentStock {
            counts_kg: 59.9,
            ..stock
        };
        assert!(!unmet.is_met() && !unmet.is_below(40.0, true));
        let jobs = [
            job(0, &[0.0, 42.0, 42.0, 42.0], 1),
            job(1, &[0.0, 42.0, 42.0, 42.0], 2),
        ];
        let found = absorbent(&steel().steel, &jobs, 3, &stock).expect("scrubbers");
        let below: Vec<Option<u32>> = found.first.iter().map(|f| f.minimum).collect();
        // At the end of day 1 the first job has no dive to come, the second has.
        assert_eq!(below, [None, Some(1)]);
    }
}
