//! The ensemble held against a run, against itself and against closed forms: a job with every input at its base
//! value has the ledger of a run, chance sampled for one input moves no other, the books agree, what is
//! sampled follows the textbooks' laws, and a look at a job under way finds out what was true.

use deepstay_core::record::{Ledger, Line};
use deepstay_core::units::{BankId, FreeReference, Place, Purpose};
use deepstay_job::{Finished, Job, Options};
use deepstay_scenario::{
    self as scenario, BankStands, DrawnFor, FaultKind, JobTexts, Law, Patch, Present, Scenario,
    Source, Spreading, To, Varied,
};
use deepstay_stock::{self as stock, Ensemble, Floors, Replicate, Sampled, Sampler, USES, Use};
use std::collections::BTreeMap;
use std::sync::Arc;

const DAY_S: i64 = 86_400;

const BREATHING: &str = r#"(
    name: "breathing", inputs: ["crew.breathing"], source: "assumed",
    law: LogNormal(median: "1", factor: 1.15), least: "0.6", most: "1.7",
),"#;
const RECOVERY: &str = r#"(
    name: "recovery", inputs: ["stock.reclaim.recovery"], source: "assumed",
    law: Triangular(low: "80 %", likely: "88 %", high: "95 %"),
),"#;
/// Everything that an input may be multiplied by, and by one.
const BY_ONE: &str = r#"(
    name: "nothing", drawn: Times, law: Choice([("1", 1)]), source: "this test",
    inputs: [
        "crew.divers[*].mass", "spread.compartments[*].leak", "spread.compartments[*].volume",
        "plan.rota[*].in_water", "site.tide_amplitude", "plan.end",
    ],
),"#;
const CHANCE: &str = r#"
    chance: [(of: Weather, source: "the site's chain"), (of: Instruments, source: "the spread")],
    breakdowns: [(
        name: "reclaim out of order", what: ReclaimStop, mean_between: "2 d",
        lasts: LogNormal(median: "6 h", factor: 2), source: "assumed",
    )],"#;

/// The short job, cut to so many days with a bell run every eight hours until ten hours before, and its study.
pub fn text(days: u32, uncertain: &[&str], more: &str) -> String {
    let short = scenario::JOBS
        .iter()
        .find(|j| j.name == "short")
        .expect("built in")
        .text;
    let mut text = short.to_owned();
    let up = format!("at: \"{}d 18:00\"", days - 1);
    let last = format!("last: \"{}d 08:00\"", days - 1);
    let end = format!("end: \"{days} d\"");
    for (long, cut) in [
        ("at: \"3d 16:00\"", up),
        ("last: \"3d 08:00\"", last),
        ("end: \"8 d\"", end),
    ] {
        assert!(text.contains(long), "{long}");
        text = text.replace(long, &cut);
    }
    text.truncate(text.find("    study: (").expect("a study of its own"));
    let study = format!(
        "    study: (uncertain: [{}],{more}\n    ),\n)\n",
        uncertain.concat()
    );
    text + &study
}

fn papers(text: &str) -> JobTexts {
    JobTexts::of(text, "mine.ron", None, None)
}

pub fn ensemble(text: &str, set: &[(&str, &str)]) -> Ensemble {
    let set = set.iter().map(|(way, to)| Patch {
        path: (*way).to_owned(),
        to: To::Text((*to).to_owned()),
    });
    Ensemble::new(papers(text), set.collect(), Some(11), 1.0).unwrap_or_else(|bad| panic!("{bad}"))
}

pub fn never() -> bool {
    false
}

/// A job as `run` goes through it, to its end or to a second.
fn ran(scenario: Scenario, to: i64) -> (Finished, Ledger) {
    let scenario = Arc::new(scenario);
    let mut ledger = Ledger::new(scenario.start_second_of_day);
    let mut job = Job::new(scenario, Options::default());
    let _ = job.advance_to(to, &mut ledger);
    (job.finish(&mut ledger), ledger)
}

fn banks(scenario: &Scenario) -> impl Iterator<Item = BankId> {
    (0u8..).take(scenario.steel.banks.len()).map(BankId)
}

/// Lines of a ledger by where they belong, with the bits of every amount.
fn bits(ledger: &Ledger) -> BTreeMap<(Place, Place, Purpose), Vec<u64>> {
    let each = |l: &Line| {
        (
            (l.from, l.to, l.purpose),
            l.moles.0.map(f64::to_bits).to_vec(),
        )
    };
    ledger.lines().iter().map(each).collect()
}

/// Whether a movement is one of the uses of its purpose: divers breathe from a bank or from the loop, and what makes the
/// loop up is not breathed yet; all other gas is used as it leaves a bank.
fn is_used(from: Place, to: Place, purpose: Purpose) -> bool {
    match purpose {
        Purpose::DiverGas => !matches!(to, Place::Compartment(_)),
        Purpose::Reclaimed => true,
        _ => matches!(from, Place::Bank(_)),
    }
}

#[test]
fn with_every_input_at_its_base_the_ledger_is_that_of_a_run() {
    let mine = text(2, &[BREATHING, RECOVERY], CHANCE);
    let short = scenario::JOBS
        .iter()
        .find(|j| j.name == "short")
        .expect("built in")
        .text;
    for text in [mine.as_str(), short] {
        let (made, theirs) = ensemble(text, &[])
            .base_job(&never)
            .expect("it can be")
            .expect("it is not stopped");
        let scenario =
            scenario::from_text(text, "mine.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
        let last = scenario.plan.end_s;
        let (job, ours) = ran(scenario, last);
        assert_eq!(made.ended_s, job.now());
        assert!(bits(&ours).len() > 40, "{} lines", bits(&ours).len());
        assert_eq!(bits(&theirs), bits(&ours));
        for bank in banks(job.scenario()) {
            let at = Place::Bank(bank);
            assert_eq!(
                theirs.closing(at).map(|n| n.0.map(f64::to_bits)),
                ours.closing(at).map(|n| n.0.map(f64::to_bits))
            );
        }
    }
}

/// What was sampled, source by source: value, changes, seeds and faults are all moved by their own stream alone.
fn sampled(ensemble: &Ensemble, job: u64) -> (BTreeMap<String, u64>, Sampled) {
    let sampled =
        Sampler::new(ensemble.seed(), ensemble.base.plan.end_s).sample(&ensemble.sources, job);
    let named = ensemble.sources.iter().zip(&sampled.draws);
    (
        named.map(|(s, d)| (s.name.clone(), d.to_bits())).collect(),
        sampled,
    )
}

#[test]
fn a_change_of_one_input_moves_only_what_it_touches() {
    let whole = ensemble(&text(2, &[BREATHING, RECOVERY], CHANCE), &[]);
    let by_hand = ensemble(
        &text(2, &[BREATHING, RECOVERY], CHANCE),
        &[("stock.reclaim.recovery", "0.8")],
    );
    let turned = ensemble(&text(2, &[RECOVERY, BY_ONE, BREATHING], CHANCE), &[]);
    assert_eq!(whole.sources.len(), 5);
    assert_eq!(by_hand.sources.len(), 4, "what is set by hand is not drawn");
    assert_eq!(turned.sources.len(), 6);
    let mut broke = 0;
    for job in (0..200).chain([1_000_000, u64::from(u32::MAX)]) {
        let ((all, a), (less, b), (more, c)) = (
            sampled(&whole, job),
            sampled(&by_hand, job),
            sampled(&turned, job),
        );
        assert!(
            less.iter().all(|(name, value)| all[name] == *value),
            "job {job}"
        );
        assert!(
            all.iter().all(|(name, value)| more[name] == *value),
            "job {job}"
        );
        assert!(
            a.chance == b.chance
                && a.chance == c.chance
                && a.faults == b.faults
                && a.faults == c.faults
        );
        assert_ne!(all["breathing"], sampled(&whole, job + 1).0["breathing"]);
        broke += a.faults.len();
    }
    assert!(broke > 100, "{broke} breakdowns in 202 jobs of two days");
}

#[test]
fn an_input_that_is_multiplied_by_one_leaves_every_job_bit_for_bit() {
    let (plain, _) =
        ensemble(&text(2, &[BREATHING, RECOVERY], CHANCE), &[]).run(0..2, &never, &|| {});
    let (with, failed) =
        ensemble(&text(2, &[BREATHING, BY_ONE, RECOVERY], CHANCE), &[]).run(0..2, &never, &|| {});
    assert!(failed.is_empty(), "{failed:?}");
    for (a, b) in plain.iter().zip(&with) {
        assert_ne!(a.draws, b.draws);
        assert_eq!(
            *a,
            Replicate {
                draws: a.draws.clone(),
                ..b.clone()
            }
        );
    }
    assert_ne!(plain[0].left_mol, plain[1].left_mol);
}

#[test]
fn the_books_of_a_job_agree() {
    let whole = ensemble(&text(2, &[BREATHING, RECOVERY], CHANCE), &[]);
    for number in 0..2 {
        let sampled =
            Sampler::new(whole.seed(), whole.base.plan.end_s).sample(&whole.sources, number);
        let (made, ledger) = whole
            .one(number, sampled, i64::MAX, &never)
            .expect("it can be")
            .expect("not stopped");
        let gases = whole.gases.len();
        assert_eq!(made.left_mol.len(), (whole.days() + 1) * gases);
        assert_eq!(made.used_mol.len(), (whole.days() + 1) * USES.len());
        for (g, gas) in whole.gases.iter().enumerate() {
            let sum = |of: &dyn Fn(Place) -> f64| {
                gas.banks.iter().map(|b| of(Place::Bank(*b))).sum::<f64>()
            };
            let opening = sum(&|p| ledger.opening(p).map_or(0.0, |n| n.total()));
            let closing = sum(&|p| ledger.closing(p).map_or(0.0, |n| n.total()));
            let of = |list: &[stock::Drawn]| {
                list.iter()
                    .filter(|d| usize::from(d.gas) == g)
                    .map(|d| d.mol)
                    .sum::<f64>()
            };
            let (first, last) = (
                stock::left_mol(&made, gases, g, 0),
                stock::left_mol(&made, gases, g, whole.days()),
            );
            let close =
                |a: f64, b: f64| assert!((a - b).abs() <= 1e-9 * opening, "{gas:?}: {a} {b}");
            close(first, opening);
            close(last, closing);
            close(last, first - of(&made.drawn) + of(&made.returned));
            assert!(stock::demand_mol(&made, gases, g) >= first - last - 1e-9 * opening);
        }
        let uses = |u: Use| made.used_mol[whole.days() * USES.len() + u as usize];
        let moved = |purpose: Purpose| {
            let lines = ledger
                .lines()
                .into_iter()
                .filter(|l| l.purpose == purpose && is_used(l.from, l.to, purpose));
            lines.map(|l| l.moles.total()).sum::<f64>()
        };
        for (of, expected) in [
            (
                Use::Breathed,
                moved(Purpose::DiverGas) + moved(Purpose::Reclaimed),
            ),
            (Use::Reclaimed, moved(Purpose::Reclaimed)),
            (Use::MakeUp, moved(Purpose::MakeUp)),
            (Use::Oxygen, moved(Purpose::Oxygen)),
        ] {
            assert!(
                (uses(of) / expected - 1.0).abs() < 1e-9,
                "{of:?}: {} {expected}",
                uses(of)
            );
        }
    }
}

fn source(name: &str, varied: Varied) -> Source {
    Source {
        name: name.to_owned(),
        varied,
        source: "a closed form".to_owned(),
    }
}

/// At least 95 in 100 intervals hold the truth, less three binomial standard deviations.
fn held_often_enough(what: &str, held: usize, of: usize) {
    let least = 0.95 - 3.0 * (0.95 * 0.05 / of as f64).sqrt();
    println!("{what}: {held} of {of} intervals hold it");
    assert!(
        held as f64 / of as f64 >= least,
        "{what}: {held} of {of}, at least {least:.4}"
    );
}

/// Inputs that each follow Gauss's law, as they are sampled for jobs: their sum follows it too, with the sums
/// of means and of variances. 120 studies of 400 jobs; quantiles of the normal law from its tables.
#[test]
fn a_sum_of_normal_inputs_lies_within_the_intervals_told_of_it() {
    let sources: Vec<Source> = (1..=6)
        .map(|i| {
            let law = Spreading::from(Law::Normal {
                mean: 10.0 * f64::from(i),
                sd: f64::from(i),
            });
            let ways = vec!["crew.breathing".to_owned()];
            source(
                &format!("input {i}"),
                Varied::Input {
                    ways,
                    drawn: DrawnFor::Becomes,
                    law,
                    unit: String::new(),
                    each: false,
                    optional: false,
                },
            )
        })
        .collect();
    let (mean, sd) = (210.0, 91.0f64.sqrt());
    let scores = [
        (0.5, 0.0),
        (0.8, 0.841_621_233_572_914),
        (0.9, 1.281_551_565_544_6),
        (0.95, 1.644_853_626_951_472),
    ];
    let studies = 120;
    let mut of_mean = 0;
    let mut of_quantile = [0; 4];
    for seed in 0..studies as u64 {
        let sampler = Sampler::new(seed, 30 * DAY_S);
        let sums: Vec<f64> = (0..400)
            .map(|job| sampler.sample(&sources, job).draws.iter().sum())
            .collect();
        let told = stock::estimate(&sums);
        of_mean += usize::from(
            told.mean_low.is_some_and(|l| l <= mean) && told.mean_high.is_some_and(|h| h >= mean),
        );
        for (held, (p, score)) in of_quantile.iter_mut().zip(scores) {
            let q = told
                .quantiles
                .iter()
                .find(|q| q.p == p)
                .expect("it is told");
            let exact = mean + score * sd;
            *held += usize::from(
                q.low.is_some_and(|l| l <= exact) && q.high.is_some_and(|h| h >= exact),
            );
        }
    }
    held_often_enough("mean", of_mean, studies);
    for (held, (p, _)) in of_quantile.into_iter().zip(scores) {
        held_often_enough(&format!("{p}"), held, studies);
    }
}

fn breakdown(mean_between_s: f64, lasts: Law) -> Vec<Source> {
    let lasts = Spreading {
        law: lasts,
        least: Some(60.0),
        most: None,
    };
    vec![source(
        "reclaim out of order",
        Varied::Breakdown {
            what: FaultKind::ReclaimStop,
            mean_between_s,
            lasts,
        },
    )]
}

/// Breakdowns at a constant rate that are mended at once come to Poisson's law: in 30 days with one in six days,
/// 5 in the mean with variance 5, and none at all in exp(-5) of the jobs.
#[test]
fn breakdowns_that_are_dealt_come_to_poisson_s_law() {
    let sources = breakdown(6.0 * DAY_S as f64, Law::Choice(vec![(60.0, 1.0)]));
    let sampler = Sampler::new(5, 30 * DAY_S);
    let jobs = 20_000u32;
    let counts: Vec<f64> = (0..u64::from(jobs))
        .map(|job| sampler.sample(&sources, job).faults.len() as f64)
        .collect();
    let told = stock::estimate(&counts);
    let none = counts.iter().filter(|n| **n == 0.0).count() as f64 / f64::from(jobs);
    let p0 = (-5.0f64).exp();
    println!(
        "mean {:.4} of 5, variance {:.3} of 5, none in {none:.5} of {p0:.5}",
        told.mean,
        told.sd * told.sd
    );
    let se = |variance: f64| (variance / f64::from(jobs)).sqrt();
    assert!((told.mean - 5.0).abs() < 3.0 * se(5.0));
    // The variance of a variance of Poisson's law: (mean + 2 mean^2) / n.
    assert!((told.sd * told.sd - 5.0).abs() < 3.0 * se(5.0 + 50.0));
    assert!((none - p0).abs() < 3.0 * se(p0 * (1.0 - p0)));
}

/// What runs for an exponential time and stands for one is the two-state chain of the textbooks of reliability
/// (R. E. Barlow and F. Proschan, Mathematical Theory of Reliability, 1965; from memory): running at the start, it
/// stands for l/(l+m) (T - (1 - exp(-(l+m) T))/(l+m)) of a time T, with rates l of breaking and m of mending.
#[test]
fn hours_that_a_thing_stands_are_those_of_the_two_state_chain() {
    let (runs_h, stands_h, all_h) = (100.0f64, 10.0f64, 720.0f64);
    let sources = breakdown(
        runs_h * 3600.0,
        Law::Exponential {
            mean: stands_h * 3600.0,
        },
    );
    let sampler = Sampler::new(6, 30 * DAY_S);
    let jobs = 20_000u32;
    let hours: Vec<f64> = (0..u64::from(jobs))
        .map(|job| sampler.sample(&sources, job).draws[0])
        .collect();
    let told = stock::estimate(&hours);
    // Nothing is mended within the first minute, which lengthens the mean by it.
    let (l, m) = (1.0 / runs_h, 1.0 / (stands_h + 1.0 / 60.0));
    let exact = l / (l + m) * (all_h - (1.0 - (-(l + m) * all_h).exp()) / (l + m));
    println!("{:.3} h standing of {exact:.3} h", told.mean);
    assert!((told.mean - exact).abs() < 3.0 * told.sd / f64::from(jobs).sqrt());
    let none = hours.iter().filter(|h| **h == 0.0).count() as f64 / f64::from(jobs);
    let p0 = (-all_h / runs_h).exp();
    assert!((none - p0).abs() < 3.0 * (p0 * (1.0 - p0) / f64::from(jobs)).sqrt());
}

/// A present as an honest sheet would tell it of a job: gauges of all banks, and divers' gas by its meters.
fn present(scenario: &Scenario, at_s: i64) -> Present {
    let (job, ledger) = ran(scenario.clone(), at_s);
    let steel = &scenario.steel;
    let stands = |bank: BankId| BankStands {
        bank,
        gauge_pa: job.plant().bank_pa(bank, at_s) - steel.surface_pa,
        t_k: steel.banks[bank.index()].t_k,
        taken_on_m3: 0.0,
        analysed_o2: None,
    };
    let moved = |purposes: &[Purpose]| {
        let lines = ledger
            .lines()
            .into_iter()
            .filter(|l| purposes.contains(&l.purpose) && is_used(l.from, l.to, l.purpose));
        lines.map(|l| l.moles.total()).sum::<f64>() / FreeReference::Bar15.mol_per_m3()
    };
    let mut used_m3 = [None; 5];
    used_m3[Use::Breathed as usize] = Some(moved(&[Purpose::DiverGas, Purpose::Reclaimed]));
    used_m3[Use::Reclaimed as usize] = Some(moved(&[Purpose::Reclaimed]));
    Present {
        at_s,
        banks: banks(scenario).map(stands).collect(),
        used_m3,
        in_water_s: None,
        error: 0.03,
        gauge_error_pa: 1e5,
        boat_s: None,
    }
}

/// A job whose divers breathe more and whose reclaim brings back less than was thought: after a day and a half its
/// gauges and meters say so, and the forecast of the rest is right about the end that it comes to.
#[test]
fn a_look_at_a_job_under_way_finds_out_what_is_true_of_it() {
    let text = text(3, &[BREATHING, RECOVERY], "");
    let truth = [("crew.breathing", 1.15), ("stock.reclaim.recovery", 0.82)];
    let changes: Vec<Patch> = truth
        .iter()
        .map(|(way, v)| Patch {
            path: (*way).to_owned(),
            to: To::Text(v.to_string()),
        })
        .collect();
    let scenario = papers(&text)
        .scenario(&changes)
        .unwrap_or_else(|bad| panic!("{bad}"));
    let (last_s, steel) = (scenario.plan.end_s, scenario.steel.clone());
    let (end, _) = ran(scenario.clone(), last_s);
    for (at_s, least_left) in [(DAY_S * 2 / 3, 0.6), (DAY_S * 3 / 2, 0.6)] {
        let now = present(&scenario, at_s);
        let mut study = ensemble(&text, &[]);
        let look =
            stock::assimilate(&study, &now, &never, &|| {}).expect("there is something to see");
        for o in &look.observed {
            println!(
                "{:?}: seen {:.0} mol, thought {:.0}, error {:.0}",
                o.what, o.seen_mol, o.middle_mol, o.error_mol
            );
        }
        for (learnt, scale) in look.conditioned.iter().zip([1.0, 100.0]) {
            let (name, true_value) = (
                &learnt.source.name,
                truth[usize::from(learnt.source.name == "recovery")].1 * scale,
            );
            println!(
                "{name}: {:.3?} before, {:.3?} after, {:.2} of the doubt left, truly {true_value}",
                learnt.before, learnt.after, learnt.left
            );
            assert!(
                learnt.after[0] < true_value && true_value < learnt.after[2],
                "{name}"
            );
            assert!(
                (learnt.after[1] - true_value).abs() < 0.5 * (learnt.before[1] - true_value).abs(),
                "{name}"
            );
            assert!(learnt.left < least_left, "{name}");
        }
        study.condition(look.posterior.clone(), at_s);
        let (jobs, failed) = study.run(0..48, &never, &|| {});
        assert!(failed.is_empty(), "{failed:?}");
        let told = stock::forecast(&study, &jobs, &now, &look.now_mol, &Floors::default());
        for (g, gas) in study.gases.iter().enumerate() {
            let truly: f64 = gas
                .banks
                .iter()
                .map(|b| end.plant().bank_moles(*b, end.now()))
                .sum();
            let at_end = told.days[g].last().expect("the last day");
            let loaded: f64 = gas
                .banks
                .iter()
                .map(|b| {
                    stock::bank_mol(
                        &steel.banks[b.index()],
                        steel.surface_pa,
                        steel.banks[b.index()].fill_gauge_pa,
                        steel.banks[b.index()].t_k,
                    )
                })
                .sum();
            println!(
                "{:?} at the end: {:.0} to {:.0} to {:.0} mol, truly {truly:.0} of {loaded:.0}",
                gas.duty, at_end.p05, at_end.p50, at_end.p95
            );
            // What divers breathe moves their gas, and the oxygen that their loop is given.
            if matches!(
                gas.duty,
                deepstay_plant::Duty::DiverGas | deepstay_plant::Duty::Oxygen
            ) {
                assert!(at_end.p05 <= truly && truly <= at_end.p95, "{:?}", gas.duty);
            } else {
                // What neither input moves is foretold as it comes, at whatever hour one looks.
                assert!((at_end.p50 - truly).abs() < 1e-4 * loaded, "{:?}", gas.duty);
            }
        }
    }
}
