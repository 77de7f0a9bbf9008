//! The judge at the seams: spans that only touch, runs that follow at once, the nearest of several margins, and what a
//! breach says in words. By hand, from the same documents as the other cases.

use super::check::{BELL, judged, of, problem, turn};
use super::days::pressed;
use super::problem::{D, H};
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_rota::{BellRun, Margin, Problem, Role, Span, Task};

const MIN: i64 = 60;

/// Norway s. 94: 14 days at working depth to 180 m, 10 days deeper. The second saturation's depth is not the first's.
#[test]
fn each_saturation_is_judged_by_its_own_depth() {
    let mut p = pressed(problem(180.0), &[(0, 16 * D), (45 * D, 57 * D)]);
    p.divers
        .iter_mut()
        .for_each(|d| d.stays[1].storage_msw = 200.0);
    let rules = |p: &Problem| -> Vec<String> {
        let verdict = judged("norway", p, Vec::new());
        verdict.breaches.into_iter().map(|b| b.rule.id).collect()
    };
    assert_eq!(rules(&p), Vec::<String>::new());
    // Two saturations back to back, the second deeper: where they touch neither has the other's depth.
    p.divers.iter_mut().for_each(|d| {
        d.saturations[1].pressed_s = 16 * D;
        d.saturations[1].leaves_s = 25 * D;
        d.saturations[1].surfaced_s = 26 * D;
        d.stays[1].span = Span::new(16 * D, 25 * D);
    });
    assert!(!rules(&p).contains(&"norway.saturation.deeper".to_owned()));
    // Work deeper than the storage counts: a turn at 181 m in the first makes it one of those.
    let mut q = pressed(problem(180.0), &[(0, 16 * D)]);
    q.working_msw = 181.0;
    let deep = turn(&q, 2 * D, 5 * H, &[(0, H)]);
    let verdict = judged("norway", &q, vec![deep]);
    assert_eq!(of(&verdict, "norway.saturation.deeper").len(), 1);
}

/// UK DVIS 7, 12 h of rest. A minute less between two full runs is a rest too short by a minute, not a run of a day and
/// more; where the run is the smaller breach it is that.
#[test]
fn the_smaller_breach_is_told() {
    let p = problem(118.0);
    let two = |gap| {
        vec![
            turn(&p, H, 8 * H, &[(0, H)]),
            turn(&p, 9 * H + gap, 8 * H, &[(0, H)]),
        ]
    };
    let verdict = judged("uk", &p, two(12 * H - MIN));
    assert_eq!(of(&verdict, "uk.rest")[0].margin.left(), -MIN);
    assert!(of(&verdict, "uk.bell-run").is_empty());
    // Half an hour between runs of four hours and a quarter: the run is an hour too long, the rest would be 11 h 30 min.
    let short = vec![
        turn(&p, H, 4 * H + 15 * MIN, &[(0, H)]),
        turn(&p, 5 * H + 45 * MIN, 4 * H + 15 * MIN, &[(0, H)]),
    ];
    let verdict = judged("uk", &p, short);
    assert_eq!(of(&verdict, "uk.bell-run")[0].margin.left(), -H);
    assert!(of(&verdict, "uk.rest").is_empty());
}

/// A run that begins as the one before it ends is no rest at all; one that begins before is two bells at once.
#[test]
fn no_rest_at_all_is_not_two_bells() {
    let mut p = problem(118.0);
    p.house.rest_s = 12 * H;
    let words = |gap: i64| {
        let runs = vec![
            turn(&p, H, 2 * H, &[(0, H)]),
            turn(&p, 3 * H + gap, 2 * H, &[(0, H)]),
        ];
        let verdict = judged("norway", &p, runs);
        let rest = of(&verdict, "house.rota.rest");
        rest.first().map(|b| b.words.clone()).unwrap_or_default()
    };
    for (gap, told) in [
        (-1, "in two bells at once"),
        (0, "rest of 0 h 00 min"),
        (MIN, "rest of 0 h 01 min"),
    ] {
        assert!(words(gap).contains(told), "{gap}: {}", words(gap));
    }
}

/// Of several runs the nearest to the limit is the one that is told, in whatever order they come.
#[test]
fn the_nearest_of_several_margins_is_told() {
    let p = problem(180.0);
    for lengths in [[450, 470, 460], [470, 450, 460], [450, 460, 470]] {
        let runs = (0i64..)
            .zip(lengths)
            .map(|(day, minutes)| turn(&p, day * 2 * D + H, minutes * MIN, &[(0, H)]));
        let verdict = judged("norway", &p, runs.collect());
        let near = verdict
            .nearest
            .iter()
            .find(|n| n.rule.id == "norway.bell-run.180");
        assert_eq!(near.map(|n| n.margin.left()), Some(10 * MIN), "{lengths:?}");
    }
}

/// France: 30 days and an hour, and 100 in twelve months: in words as in figures.
#[test]
fn days_are_told_in_days_and_hours() {
    let p = pressed(problem(150.0), &[(0, 30 * D + H)]);
    let verdict = judged("france", &p, Vec::new());
    let breach = of(&verdict, "france.saturation")[0];
    assert_eq!(
        breach.words,
        "AB: 30 d 01 h under pressure; at most 30 d 00 h"
    );
    let margin = Margin::AtMost {
        found_s: 30 * D + H,
        limit_s: 30 * D,
    };
    assert_eq!(breach.margin, margin);
}

/// A bell out of service and a diver unfit until the second at which a run begins, or from the second at which it is
/// over, are no hindrance; a second more is.
#[test]
fn what_only_touches_a_run_does_not_hinder_it() {
    let run = |p: &Problem| turn(p, 10 * H, 4 * H, &[(0, H)]);
    let (begins, ends) = (10 * H, 14 * H);
    for (span, hinders) in [
        (Span::new(0, begins), false),
        (Span::new(ends, ends + H), false),
        (Span::new(0, begins + 1), true),
        (Span::new(ends - 1, ends + H), true),
        (Span::new(begins + H, begins + 2 * H), true),
    ] {
        let broken = |bell: bool| {
            let mut p = problem(118.0);
            if bell {
                p.bells[0].down.push(span);
            } else {
                p.divers[0].unfit.push(span);
            }
            let verdict = judged("uk", &p, vec![run(&p)]);
            let ids = verdict
                .breaches
                .iter()
                .map(|b| (b.rule.id.clone(), b.diver));
            ids.collect::<Vec<_>>()
        };
        let told = |rule: &str, diver| {
            let breach = (format!("house.rota.{rule}"), diver);
            hinders.then_some(breach).into_iter().collect::<Vec<_>>()
        };
        assert_eq!(broken(true), told("bell", None), "{span:?}");
        assert_eq!(broken(false), told("fit", Some(DiverId(0))), "{span:?}");
    }
}

/// A job of its own bell, with a way out and home and a task or two, and a legal run of it.
fn whole() -> (Problem, Vec<BellRun>) {
    let mut p = problem(118.0);
    let bell = &mut p.bells[0];
    (bell.lead_s, bell.out_s, bell.home_s, bell.tail_s) = (30 * MIN, 20 * MIN, 15 * MIN, 25 * MIN);
    bell.change_s = 40 * MIN;
    let task = |name: &str, after: &[usize]| Task {
        name: name.to_owned(),
        depth_msw: 118.0,
        wet_s: 2 * H,
        divers: 1,
        qualifications: Vec::new(),
        gas: None,
        after: after.to_vec(),
    };
    p.tasks = vec![task("first", &[]), task("then", &[0])];
    (p.first_s, p.last_s) = (10 * H, 50 * H);
    let mut run = turn(&p, 10 * H, 4 * H, &[(20 * MIN, 140 * MIN)]);
    run.tasks = vec![(0, 2 * H)];
    let mut next = turn(&p, 40 * H, 4 * H, &[(20 * MIN, 140 * MIN)]);
    next.tasks = vec![(1, 2 * H)];
    (p, vec![run, next])
}

type Change = fn(&mut Problem, &mut Vec<BellRun>);

/// The task takes two at once, and the second is in the water for less than it by so many seconds.
fn both_out(p: &mut Problem, r: &mut [BellRun], less_s: i64) {
    p.tasks[0].divers = 2;
    let from_s = r[0].positions[0].wet[0].from_s;
    let (_, work_s) = r[0].tasks[0];
    r[0].positions[1].wet = vec![Span::new(from_s, from_s + work_s - less_s)];
}

/// Each demand of the house: a rota that just meets it, and one that just does not, which breaks this and nothing else.
#[test]
fn each_demand_of_the_house_just_met_and_just_missed() {
    let cases: [(&str, Change, Change); 19] = [
        (
            "days",
            |p, _| p.first_s = 10 * H,
            |p, _| p.first_s = 10 * H + 1,
        ),
        (
            "days",
            |p, _| p.last_s = 44 * H,
            |p, _| p.last_s = 44 * H - 1,
        ),
        ("bell", |_, _| {}, |_, r| r[0].bell = CompartmentId(3)),
        (
            "places",
            |p, _| p.bells[0].places = 3,
            |p, _| p.bells[0].places = 2,
        ),
        (
            "crew",
            |_, _| {},
            |_, r| r[0].positions[1].diver = DiverId(7),
        ),
        (
            "at-depth",
            |p, _| p.divers[0].stays[0].span = Span::new(9 * H + 30 * MIN, 44 * H + 25 * MIN),
            |p, _| p.divers[0].stays[0].span = Span::new(9 * H + 30 * MIN + 1, 44 * H + 25 * MIN),
        ),
        (
            "at-depth",
            |p, _| p.divers[0].stays[0].span = Span::new(9 * H + 30 * MIN, 44 * H + 25 * MIN),
            |p, _| p.divers[0].stays[0].span = Span::new(9 * H + 30 * MIN, 44 * H + 25 * MIN - 1),
        ),
        (
            "one-storage",
            |p, _| p.divers[1].stays[0].storage_msw = 118.04,
            |p, _| p.divers[1].stays[0].storage_msw = 118.06,
        ),
        (
            "bellman",
            |_, r| r[0].positions[2].role = Role::Bellman,
            |_, r| r[0].positions[1].role = Role::Bellman,
        ),
        // Out of the bell twenty minutes after it left, in it a quarter of an hour before it is home: the winch takes a
        // second, and a second is rounding.
        (
            "way",
            |_, r| r[0].positions[0].wet[0].from_s = 10 * H + 20 * MIN,
            |_, r| r[0].positions[0].wet[0].from_s = 10 * H + 20 * MIN - 1,
        ),
        (
            "way",
            |_, r| r[0].positions[0].wet[0].to_s = 13 * H + 45 * MIN,
            |_, r| r[0].positions[0].wet[0].to_s = 13 * H + 45 * MIN + 1,
        ),
        (
            "way",
            |_, r| r[0].positions[1].wet[0].to_s = r[0].positions[1].wet[0].from_s + 1,
            |_, r| r[0].positions[1].wet[0].to_s = r[0].positions[1].wet[0].from_s,
        ),
        (
            "way",
            |_, r| {
                let from_s = r[0].positions[0].wet[0].to_s;
                r[0].positions[0].wet.push(Span::new(from_s, from_s + MIN));
            },
            |_, r| {
                let from_s = r[0].positions[0].wet[0].to_s - 1;
                r[0].positions[0].wet.push(Span::new(from_s, from_s + MIN));
            },
        ),
        (
            "work",
            |p, r| both_out(p, r, 0),
            |p, r| {
                both_out(p, r, 0);
                p.tasks[0].divers = 3;
            },
        ),
        // Both are out for as long as the work that takes both, but for the second of rounding.
        ("work", |p, r| both_out(p, r, 1), |p, r| both_out(p, r, 2)),
        ("work", |_, _| {}, |p, _| p.tasks[0].depth_msw = 117.99),
        (
            "work",
            |_, r| r[0].tasks[0].1 = 2 * H + 1,
            |_, r| r[0].tasks[0].1 = 2 * H + 2,
        ),
        (
            "turnaround",
            |_, r| move_to(&mut r[1], 14 * H + 55 * MIN),
            |_, r| move_to(&mut r[1], 14 * H + 55 * MIN - 1),
        ),
        (
            "order",
            |p, _| p.tasks[0].wet_s = 2 * H,
            |p, _| p.tasks[0].wet_s = 2 * H + 1,
        ),
    ];
    for (k, (rule, met, missed)) in cases.into_iter().enumerate() {
        let broken = |change: Change| {
            let (mut p, mut runs) = whole();
            change(&mut p, &mut runs);
            // Norway has no run a day: the two may follow as soon as the house lets them, but for the rest.
            let verdict = judged("norway", &p, runs);
            let house = verdict.breaches.iter().map(|b| b.rule.id.as_str());
            let mut house: Vec<String> = house
                .filter(|id| id.starts_with("house.rota"))
                .map(str::to_owned)
                .collect();
            house.dedup();
            house
        };
        assert_eq!(broken(met), Vec::<String>::new(), "{k}, {rule}: just met");
        assert_eq!(
            broken(missed),
            [format!("house.rota.{rule}")],
            "{k}, {rule}: just missed"
        );
    }
}

/// A run put to another hour.
fn move_to(run: &mut BellRun, first: i64) {
    let by_s = first - run.first;
    run.first += by_s;
    run.last += by_s;
    for span in run.positions.iter_mut().flat_map(|p| &mut p.wet) {
        *span = Span::new(span.from_s + by_s, span.to_s + by_s);
    }
}

/// 46 CFR 197.434: one diver in the bell tends the diver in the water. Two may be out while the third tends them, for as
/// long as they like; all three never, and nobody goes alone.
#[test]
fn someone_stays_in_the_bell() {
    let alone = |change: fn(&mut BellRun)| {
        let (p, mut runs) = whole();
        change(&mut runs[0]);
        let verdict = judged("united-states", &p, runs);
        verdict
            .breaches
            .iter()
            .any(|b| b.rule.id == "uscg.bell-crew")
    };
    assert!(!alone(|_| {}));
    assert!(!alone(|r| r.positions[1].wet = r.positions[0].wet.clone()));
    // The third leaves as the second comes back, or a second before.
    assert!(!alone(|r| {
        let back_s = r.positions[1].wet[0].to_s;
        r.positions[2].wet = vec![Span::new(back_s, back_s + MIN)];
    }));
    assert!(alone(|r| {
        let back_s = r.positions[1].wet[0].to_s;
        r.positions[2].wet = vec![Span::new(back_s - 1, back_s + MIN)];
    }));
    assert!(alone(|r| r.positions.truncate(1)));
    let (p, runs) = whole();
    assert!(runs.iter().all(|r| r.bell == BELL) && judged("united-states", &p, runs).legal());
}
