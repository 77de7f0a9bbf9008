//! Sums of the study laid out by hand: demand as the greatest fall, a what if job by job, intervals by their
//! members, and inputs that are set to what they are.

use super::ensemble::{ensemble, never, text};
use deepstay_plant::Duty;
use deepstay_stock::{
    CONFIDENCE, Gas, PROBABILITIES, Replicate, compare, demand_mol, estimate, quantile_between,
    quantile_of, ranks,
};

fn gas(duty: Duty) -> Gas {
    Gas {
        duty,
        label_o2: 0.02,
        banks: Vec::new(),
    }
}

/// A job with what is left of two gases at its start and at the end of each day.
fn job(number: u64, left: &[(f64, f64)]) -> Replicate {
    Replicate {
        number,
        left_mol: left.iter().flat_map(|(a, b)| [*a, *b]).collect(),
        ..Replicate::default()
    }
}

/// 100 are loaded, 45 are left after the first day, reclaim brings back 30: 55 must have been on board, not the 25
/// that are gone in the end. Of the other gas 12 of 50 are gone on the last day.
#[test]
fn demand_is_the_greatest_fall_below_the_start() {
    let made = job(
        0,
        &[(100.0, 50.0), (45.0, 49.0), (60.0, 40.0), (75.0, 38.0)],
    );
    assert_eq!(demand_mol(&made, 2, 0), 55.0);
    assert_eq!(demand_mol(&made, 2, 1), 12.0);
    let gains = job(0, &[(10.0, 1.0), (12.0, 1.0)]);
    assert_eq!(
        (demand_mol(&gains, 2, 0), demand_mol(&gains, 2, 1)),
        (0.0, 0.0)
    );
}

/// Jobs 2, 3, 5 and 8 drew 10, 40, 20 and 5; set otherwise they draw 11, 42, 23 and 9: 1, 2, 3 and 4 more, each
/// against itself. Job 4 is in one list only, and is left out.
#[test]
fn a_what_if_compares_each_job_with_itself() {
    let drew = |number, mol: f64| job(number, &[(100.0, 7.0), (100.0 - mol, 7.0)]);
    let base = [
        drew(2, 10.0),
        drew(3, 40.0),
        drew(4, 90.0),
        drew(5, 20.0),
        drew(8, 5.0),
    ];
    let set = [drew(2, 11.0), drew(3, 42.0), drew(5, 23.0), drew(8, 9.0)];
    let found = compare(&[gas(Duty::BottomMix), gas(Duty::DiverGas)], &base, &set);
    assert_eq!(found.len(), 1, "the gas that neither draws is left out");
    let by = &found[0].by;
    assert_eq!((by.n, by.least, by.most, by.mean), (4, 1.0, 4.0, 2.5));
    // Standard deviation of 1, 2, 3, 4: the root of 5/3.
    assert!((by.sd - (5.0_f64 / 3.0).sqrt()).abs() < 1e-12);
    assert_eq!((found[0].base.mean, found[0].changed.mean), (18.75, 21.25));
}

/// How surely the quantile `p` lies between the members at two places of a rising order, counted from 1: the
/// binomial sum of the textbooks, added up term by term.
fn covers(n: usize, p: f64, low: usize, high: usize) -> f64 {
    let mut log_choose = 0.0;
    let mut sum = 0.0;
    for k in 0..high {
        if k > 0 {
            log_choose += ((n - k + 1) as f64 / k as f64).ln();
        }
        if k >= low {
            sum += (log_choose + k as f64 * p.ln() + (n - k) as f64 * (1.0 - p).ln()).exp();
        }
    }
    sum
}

/// Each printed end is a member of the set, the coverage of just those two members is the one that is told, it is
/// 95 % or more, and with the next members inside it would be less.
#[test]
fn the_ends_of_an_interval_are_the_members_at_their_places() {
    let mut with = 0;
    for n in [10, 20, 59, 60, 89, 90, 200, 400, 1000] {
        // Members whose value is the square of their place, falling.
        let values: Vec<f64> = (1..=n).map(|k| (k * k) as f64).rev().collect();
        let all = estimate(&values);
        for (q, p) in all.quantiles.iter().zip(PROBABILITIES) {
            assert_eq!(q.p, p);
            let (Some(low), Some(high)) = (q.low, q.high) else {
                assert_eq!((q.low, q.high), (None, None));
                assert!(q.covers < CONFIDENCE);
                continue;
            };
            let place = |value: f64| value.sqrt().round() as usize;
            let (low, high) = (place(low), place(high));
            assert!(
                (low * low) as f64 == q.low.unwrap() && (high * high) as f64 == q.high.unwrap()
            );
            assert!(
                (covers(n, p, low, high) - q.covers).abs() < 1e-9,
                "{n}, {p}: {low} to {high}, {}",
                q.covers
            );
            assert!(q.covers >= CONFIDENCE);
            assert!(
                covers(n, p, low + 1, high - 1) < CONFIDENCE,
                "{n}, {p}: {low} to {high} is too wide"
            );
            // As far below the quantile's own place as above it.
            let own = (n as f64 + 1.0 / 3.0) * p + 1.0 / 3.0;
            assert!(((low + high) as f64 / 2.0 - own).abs() <= 0.5, "{n}, {p}");
            assert_eq!(ranks(n, p).map(|r| (r.low, r.high)), Ok((low, high)));
            with += 1;
        }
    }
    assert!(with > 20, "{with}");
}

/// Hyndman and Fan's definition 8 by hand: of 1, 2, 4, 8 the median lies at place (4 + 1/3)/2 + 1/3 = 2.5.
#[test]
fn a_quantile_by_hand() {
    assert_eq!(quantile_of(vec![8.0, 1.0, 4.0, 2.0], 0.5), 3.0);
    assert_eq!(quantile_of(vec![8.0, 1.0, 4.0, 2.0], 0.0), 1.0);
    assert_eq!(quantile_of(vec![8.0, 1.0, 4.0, 2.0], 1.0), 8.0);
    // Place (4 + 1/3) 0.8 + 1/3 = 3.8.
    assert!((quantile_of(vec![8.0, 1.0, 4.0, 2.0], 0.8) - (4.0 + 0.8 * 4.0)).abs() < 1e-12);
    assert!(quantile_of(vec![1.0], 1.1).is_nan() && quantile_of(Vec::new(), 0.5).is_nan());
    let one = quantile_between(&[3.0], 0.9);
    assert_eq!((one.value, one.low, one.high), (3.0, None, None));
}

const BREATHING: &str = r#"(
    name: "breathing", inputs: ["crew.breathing"], source: "assumed",
    law: LogNormal(median: "1", factor: 1.15), least: "0.6", most: "1.7",
),"#;

/// An input set by hand to what the file says moves no job at all; set to something else it moves each.
#[test]
fn an_input_set_to_what_it_is_makes_no_difference_to_any_job() {
    let mine = text(2, &[BREATHING], "");
    let plain = ensemble(&mine, &[]);
    let run = |to| ensemble(&mine, &[("stock.reclaim.recovery", to)]).run(0..2, &never, &|| {});
    let ((base, _), (as_it_is, _), (moved, _)) =
        (plain.run(0..2, &never, &|| {}), run("88 %"), run("80 %"));
    assert_eq!(base, as_it_is);
    for difference in compare(&plain.gases, &base, &as_it_is) {
        assert_eq!((difference.by.least, difference.by.most), (0.0, 0.0));
    }
    for (a, b) in base.iter().zip(&moved) {
        assert_ne!(a.left_mol, b.left_mol, "job {}", a.number);
    }
}
