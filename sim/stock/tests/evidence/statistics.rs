//! The figures of an ensemble: NIST's certified statistics, scipy and numpy, and closed forms against draws.
//!
//! NIST Statistical Reference Datasets, univariate summary statistics (certified mean, standard deviation
//! and first autocorrelation of eight sets of data). Values by scipy and numpy are made by
//! `reference/stock_statistics.py`, and their versions stand in the table's header.

use crate::check_values::check_values;
use deepstay_job::random::{Draw, Source, Streams};
use deepstay_scenario::{Law, Spreading};
use deepstay_stock::{
    Chance, autocorrelation_1, estimate, quantile, quantile_between, rank_correlation, ranks,
};
use std::collections::BTreeMap;

/// A line of a table by its headings.
type Row = BTreeMap<String, String>;

fn rows(name: &str) -> Vec<Row> {
    check_values(name)
        .deserialize()
        .map(|r| r.expect("a row"))
        .collect()
}

fn number(row: &Row, column: &str) -> f64 {
    row[column]
        .parse()
        .unwrap_or_else(|_| panic!("{column} in {row:?}"))
}

/// Rows of one kind from the table by scipy and numpy.
fn of_scipy(what: &str) -> Vec<Row> {
    let mut found = rows("stock_statistics.csv");
    found.retain(|r| r["what"] == what);
    assert!(!found.is_empty(), "{what}");
    found
}

/// Relative distance, absolute where the expected value is 0.
fn off(found: f64, expected: f64) -> f64 {
    let scale = if expected == 0.0 { 1.0 } else { expected.abs() };
    (found - expected).abs() / scale
}

fn law(row: &Row) -> Law {
    let get = |c: &str| number(row, c);
    match row["law"].as_str() {
        "uniform" => Law::Uniform {
            low: get("a"),
            high: get("b"),
        },
        "triangular" => Law::Triangular {
            low: get("a"),
            likely: get("b"),
            high: get("c"),
        },
        "normal" => Law::Normal {
            mean: get("a"),
            sd: get("b"),
        },
        "log-normal" => Law::LogNormal {
            median: get("a"),
            factor: get("b"),
        },
        "gamma" => Law::Gamma {
            mean: get("a"),
            sd: get("b"),
        },
        "beta" => Law::Beta {
            low: get("a"),
            high: get("b"),
            mean: get("c"),
            sd: get("d"),
        },
        "Weibull" => Law::Weibull {
            scale: get("a"),
            shape: get("b"),
        },
        "exponential" => Law::Exponential { mean: get("a") },
        "Poisson" => Law::Poisson { mean: get("a") },
        other => panic!("{other}"),
    }
}

/// The mean to the last bits. Deviations to what the rounding of the data to doubles leaves of them: a share
/// of 2^-52 of the values is (mean / sd) times that share of the deviations, most in the sets made to be hard
/// (mean 10 000 000.2 and standard deviation 0.1).
#[test]
fn nist_certified_statistics_are_reached() {
    for row in rows("nist_strd_certified.csv") {
        let name = row["dataset"].to_lowercase();
        let data: Vec<f64> = rows(&format!("nist_strd_{name}.csv"))
            .iter()
            .map(|r| number(r, "y"))
            .collect();
        assert_eq!(data.len().to_string(), row["n"], "{name}");
        let found = estimate(&data);
        let mean = off(found.mean, number(&row, "cert_mean"));
        let sd = off(found.sd, number(&row, "cert_sd_n-1"));
        let r1 = off(autocorrelation_1(&data), number(&row, "cert_r1"));
        println!("{name}: relative distances {mean:.1e} {sd:.1e} {r1:.1e}");
        assert!(mean < 2e-15, "{name}: mean {mean}");
        let of_data = f64::EPSILON * (10.0 + found.mean.abs() / found.sd);
        assert!(sd < of_data, "{name}: sd {sd}, {of_data}");
        assert!(r1 < of_data, "{name}: r1 {r1}, {of_data}");
    }
}

#[test]
fn draws_are_those_of_scipy() {
    for row in of_scipy("inverse") {
        let law = Spreading::from(law(&row));
        law.check().expect("possible");
        let (u, value) = (number(&row, "u"), number(&row, "value"));
        let found = law.at(u);
        assert!(
            off(found, value) < 1e-11,
            "{law} at {u}: {found}, scipy {value}"
        );
        if !matches!(law.law, Law::Poisson { .. }) {
            let back = law.cdf(value);
            assert!((back - u).abs() < 1e-11, "{law} up to {value}: {back}");
        }
    }
    for row in of_scipy("mean") {
        let law = Spreading::from(law(&row));
        assert!(off(law.mean(), number(&row, "value")) < 1e-13, "{law}");
    }
}

#[test]
fn a_law_cut_at_both_ends_is_that_of_scipy() {
    let cut = |row: &Row| Spreading {
        law: law(row),
        least: Some(number(row, "c")),
        most: Some(number(row, "d")),
    };
    for row in of_scipy("cut normal") {
        let found = cut(&row).at(number(&row, "u"));
        assert!(off(found, number(&row, "value")) < 1e-11, "{row:?} {found}");
    }
    for row in of_scipy("cut normal mean") {
        let found = cut(&row).mean();
        assert!(off(found, number(&row, "value")) < 1e-7, "{row:?} {found}");
    }
}

/// The list of the table's header.
fn list(n: usize) -> Vec<f64> {
    (0..n)
        .map(|i| ((i * i * 7919 + 31 * i) % 1009) as f64 / 8.0)
        .collect()
}

#[test]
fn quantiles_and_student_s_interval_are_those_of_numpy_and_scipy() {
    for row in of_scipy("quantile") {
        let mut values = list(number(&row, "a") as usize);
        values.sort_by(f64::total_cmp);
        let found = quantile(&values, number(&row, "u"));
        assert!(off(found, number(&row, "value")) < 1e-14, "{row:?} {found}");
    }
    for row in of_scipy("mean of list") {
        let found = estimate(&list(number(&row, "a") as usize));
        assert!(off(found.mean, number(&row, "value")) < 1e-14, "{row:?}");
        for (end, column) in [(found.mean_low, "low"), (found.mean_high, "high")] {
            assert!(
                off(end.expect("an interval"), number(&row, column)) < 1e-12,
                "{row:?} {end:?}"
            );
        }
    }
}

#[test]
fn places_of_order_statistics_and_their_coverage_are_those_of_scipy_s_binomial_law() {
    for row in of_scipy("places") {
        let (n, p) = (number(&row, "a") as usize, number(&row, "u"));
        match ranks(n, p) {
            Ok(found) => {
                let ends = (found.low.to_string(), found.high.to_string());
                assert_eq!(ends, (row["low"].clone(), row["high"].clone()), "{row:?}");
                assert!(
                    off(found.covers, number(&row, "value")) < 1e-9,
                    "{row:?} {found:?}"
                );
            }
            Err(_) => assert_eq!(row["low"], "", "{row:?}"),
        }
    }
}

#[test]
fn exact_binomial_intervals_are_those_of_scipy() {
    for row in of_scipy("chance") {
        let found = Chance::of(number(&row, "a") as u64, number(&row, "b") as u64);
        for (end, column) in [(found.p, "value"), (found.low, "low"), (found.high, "high")] {
            assert!(off(end, number(&row, column)) < 1e-9, "{row:?} {found:?}");
        }
    }
}

#[test]
fn rank_correlation_with_ties_is_that_of_scipy() {
    for row in of_scipy("spearman") {
        let n = number(&row, "a") as usize;
        let x: Vec<usize> = (0..n).map(|i| (i * 7919) % 101 / 10).collect();
        let y = (0..n).map(|i| (i * i * 13) % 53 / 4 + 2 * x[i]);
        let y: Vec<f64> = y.map(|v| v as f64).collect();
        let x: Vec<f64> = x.iter().map(|v| *v as f64).collect();
        let found = rank_correlation(&x, &y).expect("neither is constant");
        assert!((found.rho - number(&row, "value")).abs() < 1e-14, "{row:?}");
        assert!(found.low <= found.rho && found.rho <= found.high);
    }
}

/// Twelve uncertain amounts as a planner might state them.
fn twelve() -> Vec<Spreading> {
    let laws = [
        Law::Uniform {
            low: 1.0,
            high: 3.0,
        },
        Law::Triangular {
            low: 0.8,
            likely: 0.88,
            high: 0.95,
        },
        Law::Normal {
            mean: 40.0,
            sd: 6.0,
        },
        Law::LogNormal {
            median: 5.0,
            factor: 1.8,
        },
        Law::Gamma { mean: 3.0, sd: 2.0 },
        Law::Beta {
            low: 0.5,
            high: 1.0,
            mean: 0.85,
            sd: 0.05,
        },
        Law::Weibull {
            scale: 2.0,
            shape: 1.6,
        },
        Law::Exponential { mean: 12.0 },
        Law::Poisson { mean: 2.5 },
        Law::Choice(vec![(0.0, 0.7), (1.0, 0.2), (5.0, 0.1)]),
        Law::Gamma { mean: 1.0, sd: 3.0 },
    ];
    let cut = Spreading {
        law: Law::Normal {
            mean: 10.0,
            sd: 5.0,
        },
        least: Some(6.0),
        most: Some(25.0),
    };
    laws.into_iter().map(Spreading::from).chain([cut]).collect()
}

/// One stream a source.
fn streams(count: usize, seed: u64) -> Vec<Draw> {
    (0u64..)
        .take(count)
        .map(|i| Streams::new(seed + i).stream(Source::Faults))
        .collect()
}

fn sums(laws: &[Spreading], streams: &mut [Draw], count: usize) -> Vec<f64> {
    let mut one = || -> f64 {
        let drawn = laws.iter().zip(streams.iter_mut());
        drawn.map(|(law, draw)| law.at(draw.uniform())).sum()
    };
    (0..count).map(|_| one()).collect()
}

/// At least 95 in 100 intervals hold the truth, less three binomial standard deviations.
fn held_often_enough(held: usize, of: usize) {
    let least = 0.95 - 3.0 * (0.95 * 0.05 / of as f64).sqrt();
    let share = held as f64 / of as f64;
    assert!(share >= least, "{held} of {of}, at least {least:.4}");
}

/// The mean of a sum is the sum of the means, whatever the laws. In 300 ensembles of 400 sums, Student's
/// interval holds it as often as it says.
#[test]
fn the_mean_of_a_sum_lies_within_its_own_interval() {
    let laws = twelve();
    let exact: f64 = laws.iter().map(Spreading::mean).sum();
    let mut streams = streams(laws.len(), 1000);
    let held = (0..300)
        .map(|_| estimate(&sums(&laws, &mut streams, 400)))
        .filter(|s| {
            s.mean_low.is_some_and(|l| l <= exact) && s.mean_high.is_some_and(|h| h >= exact)
        })
        .count();
    held_often_enough(held, 300);
    let whole = estimate(&sums(&laws, &mut streams, 20_000));
    let error = (whole.mean - exact) / (whole.sd / 20_000f64.sqrt());
    assert!(error.abs() < 3.0, "{error} standard errors");
}

/// A sum of normal laws is normal: its 90 % point is mean + 1.2815516 sd (the table of the normal law).
#[test]
fn the_ninety_percent_point_of_a_sum_of_normal_laws_lies_within_its_interval() {
    let laws: Vec<Spreading> = (1..=12)
        .map(|i| Law::Normal {
            mean: 10.0 * f64::from(i),
            sd: f64::from(i),
        })
        .map(Spreading::from)
        .collect();
    let (mean, variance) = (780.0, 650.0f64);
    let exact = mean + 1.281_551_565_544_600_4 * variance.sqrt();
    let mut streams = streams(laws.len(), 2000);
    let held = (0..300)
        .filter(|_| {
            let mut sums = sums(&laws, &mut streams, 400);
            sums.sort_by(f64::total_cmp);
            let q = quantile_between(&sums, 0.9);
            q.low.is_some_and(|l| l <= exact) && q.high.is_some_and(|h| h >= exact)
        })
        .count();
    held_often_enough(held, 300);
}

/// Times between breakdowns are exponential, 15 days in the mean: in 30 days their count is Poisson's
/// with mean 2, and none comes with chance exp(-2).
#[test]
fn breakdowns_at_a_constant_rate_are_counted_by_poisson_s_law() {
    let between = Spreading::from(Law::Exponential { mean: 15.0 });
    let counts = Spreading::from(Law::Poisson { mean: 2.0 });
    let mut draw = Streams::new(3000).stream(Source::Faults);
    let mut in_a_month = || {
        let (mut day, mut count) = (between.at(draw.uniform()), 0.0);
        while day <= 30.0 {
            count += 1.0;
            day += between.at(draw.uniform());
        }
        count
    };
    let (mut mean_held, mut none_held, mut three_held) = (0, 0, 0);
    for _ in 0..300 {
        let months: Vec<f64> = (0..500).map(|_| in_a_month()).collect();
        let up_to = |most: f64| {
            let hits = months.iter().filter(|c| **c <= most).count();
            let (chance, exact) = (Chance::of(hits as u64, 500), counts.cdf(most));
            usize::from(chance.low <= exact && exact <= chance.high)
        };
        let s = estimate(&months);
        let held = s.mean_low.is_some_and(|l| l <= 2.0) && s.mean_high.is_some_and(|h| h >= 2.0);
        mean_held += usize::from(held);
        none_held += up_to(0.0);
        three_held += up_to(3.0);
    }
    assert!((counts.cdf(0.0) - (-2.0f64).exp()).abs() < 1e-15);
    for held in [mean_held, none_held, three_held] {
        held_often_enough(held, 300);
    }
}

/// Over 2000 samples of 100 the interval of the 90 % quantile holds the true one as often as its coverage
/// says, within three binomial standard deviations.
#[test]
fn the_interval_of_a_quantile_covers_as_often_as_it_says() {
    let law = Spreading::from(Law::Exponential { mean: 12.0 });
    let exact = law.at(0.9);
    let mut draw = Streams::new(4000).stream(Source::Faults);
    let (mut held, mut covers) = (0, 0.0);
    for _ in 0..2000 {
        let mut sample: Vec<f64> = (0..100).map(|_| law.at(draw.uniform())).collect();
        sample.sort_by(f64::total_cmp);
        let q = quantile_between(&sample, 0.9);
        covers = q.covers;
        held +=
            usize::from(q.low.is_some_and(|l| l <= exact) && q.high.is_some_and(|h| h >= exact));
    }
    held_often_enough(held, 2000);
    let sd = (covers * (1.0 - covers) / 2000.0).sqrt();
    let share = f64::from(u32::try_from(held).expect("small")) / 2000.0;
    assert!((share - covers).abs() < 3.0 * sd, "{share} {covers}");
}
