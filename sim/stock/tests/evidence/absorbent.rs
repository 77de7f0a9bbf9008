//! Absorbent of a study against the canisters of its jobs, counted one by one from a run's entries: what is changed by
//! each day and in each size, and on which side of it what is spare just lasts.

use super::ensemble::{ensemble, never, text};
use deepstay_core::record::{Entry, Sink, What};
use deepstay_job::{Job, Options};
use deepstay_scenario as scenario;
use deepstay_stock::{AbsorbentStock, Floors, answer};
use std::sync::Arc;

const DAY_S: i64 = 86_400;

/// Each canister that was changed: when, and what went in, kg.
struct Changed {
    kg: Vec<Option<f64>>,
    all: Vec<(i64, f64)>,
}

impl Sink for Changed {
    fn take(&mut self, entry: Entry) {
        if let What::Canister { compartment, .. } = entry.what {
            let kg = self.kg[compartment.index()].expect("it has a scrubber");
            self.all.push((entry.at, kg));
        }
    }
}

/// The canisters of a run, one by one.
fn run(text: &str) -> Vec<(i64, f64)> {
    let scenario =
        scenario::from_text(text, "mine.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
    let compartments = scenario.steel.compartments.iter();
    let mut changed = Changed {
        kg: compartments
            .map(|c| c.scrubber.map(|s| s.absorbent_kg))
            .collect(),
        all: Vec::new(),
    };
    let mut job = Job::new(Arc::new(scenario), Options::default());
    let _ = job.advance_to(i64::MAX, &mut changed);
    changed.all
}

#[test]
fn what_is_changed_by_each_day_is_that_of_the_run() {
    let mine = text(3, &[], "");
    let ensemble = ensemble(&mine, &[]);
    let (jobs, failed) = ensemble.run(0..2, &never, &|| {});
    assert!(failed.is_empty());
    let by_hand = run(&mine);
    let sizes = by_hand
        .iter()
        .map(|(_, kg)| kg.to_bits())
        .collect::<std::collections::BTreeSet<u64>>();
    assert!(by_hand.len() >= 4 && sizes.len() > 1, "{by_hand:?}");
    let by = |day: i64| -> f64 {
        let until = by_hand.iter().filter(|(at, _)| *at <= day * DAY_S);
        until.map(|(_, kg)| kg).sum()
    };
    for job in &jobs {
        let days = job.absorbent_changed_kg.iter();
        for (day, kg) in (0..).zip(days) {
            assert!(
                (kg - by(day)).abs() < 1e-9,
                "day {day}: {kg}, by hand {}",
                by(day)
            );
        }
        assert_eq!(job.absorbent_changed_kg.len(), ensemble.days() + 1);
    }
    let all: f64 = by_hand.iter().map(|(_, kg)| kg).sum();
    let least = by_hand
        .iter()
        .map(|(_, kg)| *kg)
        .fold(f64::INFINITY, f64::min);
    for (spare_kg, hits) in [(all, 0), (all - least, 2)] {
        let floors = Floors {
            absorbent: AbsorbentStock {
                spare_kg: Some(spare_kg),
                ..AbsorbentStock::default()
            },
            ..Floors::default()
        };
        let found = answer(&ensemble, &jobs, (0, 2), &floors).absorbent;
        let found = found.expect("scrubbers are fitted");
        let last = found.chance.last().expect("days");
        assert_eq!(
            last.stopped.hits, hits,
            "{spare_kg} kg spare of {all} changed"
        );
        for size in &found.sizes {
            let mine = by_hand.iter().filter(|(_, kg)| *kg == size.kg);
            assert_eq!(
                size.each,
                [mine.clone().count() as u32; 2],
                "{} kg",
                size.kg
            );
        }
    }
}
