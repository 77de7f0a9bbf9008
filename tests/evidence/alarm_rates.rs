//! How often alarms come in the built-in jobs, held against the published benchmarks of alarm systems: read from
//! `alarms.csv` by a reader of its own, which shares nothing with the sums of the report.
//!
//! Rows of the benchmarks: **L1** about one alarm in 10 min is very likely acceptable (1998 survey, second-hand);
//! **L2** about 150 a day (ISA-18.2, 2009; dropped in its edition of 2016) or 144 (IEC 62682:2014), both second-hand;
//! **L3** more than 10 in 10 min is a flood (second-hand); **L4** a flood begins at 10 in 10 min and is over below 5
//! (ISA-18.2, recalled); **L5** 5 an hour on average, 15 in the worst, 2 in the worst minute, priorities about 5, 15
//! and 80 % (a sheet said to be EEMUA 191, second-hand); **L6** fewer than 10 standing, fewer than 5 stale over 24 h
//! (second-hand), fewer than 10 in the first 10 min after an upset (recalled); **L7** under 1 % of 10-min windows over
//! 10 and of hours over 30, no chattering, ten most frequent alarms 1 to 5 % of all (ISA-18.2 of 2009, recalled).
//!
//! All of them are made for plants with hundreds of alarms; a spread has a few dozen, so that shares of priorities
//! and of the most frequent ones are printed and not held.

use super::whole_job::{Ran, built_in, run};
use deepstay::job::Options;
use deepstay::report::{JobPapers, Units, alarms_csv};
use std::collections::BTreeMap;

const TEN_MIN_S: i64 = 600;
const HOUR_S: i64 = 3600;
const DAY_S: i64 = 86_400;

/// One row of the table.
struct Alarm {
    name: String,
    severity: String,
    raised_s: i64,
    /// None where it stood to the end.
    returned_s: Option<i64>,
    stood_s: i64,
}

/// The table of a job.
fn read(ran: &Ran) -> Vec<Alarm> {
    let papers = JobPapers::of(&ran.job, &ran.record, "");
    let text = alarms_csv(&papers.inputs(&ran.record, Units::Metric)).expect("a table");
    let mut rows = csv::Reader::from_reader(text.as_slice());
    let heads = rows.headers().expect("heads").clone();
    let at = |head: &str| heads.iter().position(|h| h == head).expect(head);
    let (name, severity) = (at("alarm"), at("severity"));
    let (raised, returned, stood) = (at("raised (s)"), at("returned after (s)"), at("stood (s)"));
    let mut alarms: Vec<Alarm> = rows
        .records()
        .map(|row| {
            let row = row.expect("a row");
            let raised_s: i64 = row[raised].parse().expect("a second");
            Alarm {
                name: row[name].to_owned(),
                severity: row[severity].to_owned(),
                raised_s,
                returned_s: row[returned]
                    .parse()
                    .ok()
                    .map(|after: i64| raised_s + after),
                stood_s: row[stood].parse().expect("seconds"),
            }
        })
        .collect();
    alarms.sort_by_key(|a| a.raised_s);
    alarms
}

/// Most alarms raised within so long, the window sliding; and in which second it began.
fn most_within(alarms: &[Alarm], s: i64) -> usize {
    let within = |from: &Alarm| {
        let in_it = |a: &&Alarm| (from.raised_s..from.raised_s + s).contains(&a.raised_s);
        alarms.iter().filter(in_it).count()
    };
    alarms.iter().map(within).max().unwrap_or(0)
}

/// Share of the windows of the clock with more than so many.
fn windows_over(alarms: &[Alarm], (s, most): (i64, usize), end_s: i64) -> f64 {
    let mut counts = vec![0; (end_s / s + 1) as usize];
    for a in alarms {
        counts[(a.raised_s / s) as usize] += 1;
    }
    let over = counts.iter().filter(|n| **n > most).count();
    over as f64 / counts.len() as f64
}

/// Most standing at once.
fn most_standing(alarms: &[Alarm]) -> usize {
    let stands = |a: &Alarm, at_s: i64| {
        a.raised_s <= at_s && a.returned_s.is_none_or(|returned_s| returned_s > at_s)
    };
    let at = |now: &Alarm| alarms.iter().filter(|a| stands(a, now.raised_s)).count();
    alarms.iter().map(at).max().unwrap_or(0)
}

/// The shortest time from an alarm's return to its ringing again, s.
fn soonest_again_s(alarms: &[Alarm]) -> Option<i64> {
    let mut last: BTreeMap<&str, i64> = BTreeMap::new();
    let mut soonest = None;
    for a in alarms {
        if let Some(returned_s) = last.get(a.name.as_str()) {
            let after = a.raised_s - returned_s;
            soonest = Some(soonest.map_or(after, |s: i64| s.min(after)));
        }
        if let Some(returned_s) = a.returned_s {
            last.insert(&a.name, returned_s);
        }
    }
    soonest
}

/// The rates of a job, printed beside the benchmarks.
struct Rates {
    days: f64,
    count: usize,
    grave: usize,
    in_ten_min: usize,
    in_an_hour: usize,
    in_a_minute: usize,
    standing: usize,
    stale: usize,
    over_ten: f64,
    over_thirty: f64,
    soonest_again_s: Option<i64>,
}

fn rates(name: &str, alarms: &[Alarm], end_s: i64) -> Rates {
    let of = |severity: &str| alarms.iter().filter(|a| a.severity == severity).count();
    let (emergency, limit, attention) = (of("emergency"), of("limit"), of("attention"));
    assert_eq!(
        emergency + limit + attention,
        alarms.len(),
        "{name}: severities"
    );
    let mut by_name: BTreeMap<&str, usize> = BTreeMap::new();
    for a in alarms {
        *by_name.entry(&a.name).or_default() += 1;
    }
    let mut frequent: Vec<usize> = by_name.into_values().collect();
    frequent.sort_unstable_by(|a, b| b.cmp(a));
    let ten: usize = frequent.iter().take(10).sum();
    let r = Rates {
        days: end_s as f64 / DAY_S as f64,
        count: alarms.len(),
        grave: emergency + limit,
        in_ten_min: most_within(alarms, TEN_MIN_S),
        in_an_hour: most_within(alarms, HOUR_S),
        in_a_minute: most_within(alarms, 60),
        standing: most_standing(alarms),
        stale: alarms.iter().filter(|a| a.stood_s > DAY_S).count(),
        over_ten: windows_over(alarms, (TEN_MIN_S, 10), end_s),
        over_thirty: windows_over(alarms, (HOUR_S, 30), end_s),
        soonest_again_s: soonest_again_s(alarms),
    };
    let share = |n: usize| 100.0 * n as f64 / alarms.len().max(1) as f64;
    println!("{name}, {:.1} days, {} alarms", r.days, r.count);
    println!(
        "  L1 in 10 min, mean          {:.4}   (1)",
        r.count as f64 * 600.0 / end_s as f64
    );
    println!(
        "  L2 a day                    {:.2}   (144 to 150)",
        r.count as f64 / r.days
    );
    println!("  L3 most in 10 min           {}   (10)", r.in_ten_min);
    println!(
        "  L5 an hour, mean            {:.3}   (5)",
        r.count as f64 / r.days / 24.0
    );
    println!(
        "  L5 most in an hour, minute  {}, {}   (15, 2)",
        r.in_an_hour, r.in_a_minute
    );
    println!(
        "  L5 emergency, limit, attention, %  {:.0}, {:.0}, {:.0}   (5, 15, 80: not held)",
        share(emergency),
        share(limit),
        share(attention)
    );
    println!(
        "  L6 most standing, stale     {}, {}   (10, 5)",
        r.standing, r.stale
    );
    println!(
        "  L7 recalled: 10-min windows over 10, hours over 30, %  {}, {}   (1, 1)",
        100.0 * r.over_ten,
        100.0 * r.over_thirty
    );
    println!(
        "  L7 recalled: the ten most frequent, % of all  {:.0}   (1 to 5: not held)",
        share(ten)
    );
    println!(
        "  soonest to ring again after its return, s  {:?}",
        r.soonest_again_s
    );
    r
}

/// A quiet job is quiet: under one limit alarm a day, none that comes again within ten minutes of its return, and
/// within every benchmark.
#[test]
fn alarms_of_the_quiet_built_in_jobs_are_within_the_published_benchmarks() {
    for name in ["six-man", "nine-man", "twelve-man", "short", "relief"] {
        let ran = run(built_in(name), Options::default(), &[]);
        let r = rates(name, &read(&ran), ran.job.now());
        assert!(
            (r.grave as f64) < r.days,
            "{name}: {} grave in {:.1} days",
            r.grave,
            r.days
        );
        assert!(
            r.soonest_again_s.is_none_or(|s| s > TEN_MIN_S),
            "{name}: {:?}",
            r.soonest_again_s
        );
        assert!(r.count as f64 / r.days < 144.0, "{name}");
        assert!(
            r.in_ten_min < 10 && r.in_an_hour <= 15 && r.in_a_minute <= 2,
            "{name}"
        );
        assert!(r.standing < 10 && r.stale < 5, "{name}");
        assert!(r.over_ten == 0.0 && r.over_thirty == 0.0, "{name}");
    }
}

/// After the faults of the bad night come, the first ten minutes of each bring no flood, and nobody is rung at more
/// than can be followed.
#[test]
fn alarms_of_the_bad_night_make_no_flood() {
    let scenario = built_in("bad-night");
    let upsets: Vec<i64> = scenario.faults.iter().map(|f| f.at).collect();
    let ran = run(scenario, Options::default(), &[]);
    let alarms = read(&ran);
    rates("bad-night", &alarms, ran.job.now());
    for at_s in upsets {
        let first = |a: &&Alarm| (at_s..at_s + TEN_MIN_S).contains(&a.raised_s);
        let first = alarms.iter().filter(first).count();
        println!("  L6 recalled: in the first 10 min after the fault at {at_s} s  {first}   (10)");
        assert!(first < 10, "{first} after the fault at {at_s} s");
    }
    assert!(most_within(&alarms, TEN_MIN_S) < 10, "a flood");
}
