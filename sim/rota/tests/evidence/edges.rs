//! The judge at the seams: spans that only touch, runs that follow at once, the nearest of several margins, and what a
//! breach says in words. By hand, from the same documents as the other cases.

use super::check::{BELL, judged, of, problem, turn};
use super::days::pressed;
use super::problem::{D, H};
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_rota::{
    Answered, BellRun, Margin, Problem, Role, Rota, Span, Stay, Task, WorkQuestion, check,
};
use deepstay_rules::RuleSet;

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

/// Norway s. 94, 10 days deeper than 180 m: a run at 181 m makes its own saturation deep for who was in it, and neither the
/// next one nor that of somebody who stayed at home.
#[test]
fn a_deep_run_counts_for_its_own_saturation_and_its_own_divers() {
    let p = pressed(problem(180.0), &[(0, 16 * D), (49 * D, 65 * D)]);
    let mut deep = turn(&p, 2 * D, 5 * H, &[(0, H)]);
    deep.depth_msw = 181.0;
    deep.positions.truncate(2);
    let verdict = judged("norway", &p, vec![deep]);
    let his: Vec<(Option<DiverId>, i64)> = verdict
        .breaches
        .iter()
        .filter(|b| b.rule.id == "norway.saturation.deeper")
        .map(|b| (b.diver, b.margin.left()))
        .collect();
    let four_days_over = |d| (Some(DiverId(d)), -4 * D);
    assert_eq!(his, [four_days_over(0), four_days_over(1)]);
}

/// UK DVIS 7: a run that is too long by itself, and two that are it together, are told apart.
#[test]
fn a_clock_that_was_not_set_back_is_told() {
    let p = problem(118.0);
    let words = |runs: Vec<BellRun>| of(&judged("uk", &p, runs), "uk.bell-run")[0].words.clone();
    assert_eq!(
        words(vec![turn(&p, H, 8 * H + MIN, &[(0, H)])]),
        "AB: bell run of 8 h 01 min; at most 8 h 00 min"
    );
    let two = vec![
        turn(&p, H, 3 * H, &[(0, H)]),
        turn(&p, 5 * H, 4 * H + MIN, &[(0, H)]),
    ];
    assert_eq!(
        words(two),
        "AB: bell run of 8 h 01 min, the clock not set back when the bell came home; at most 8 h 00 min"
    );
}

/// Canada, SOR/88-600: rest from the chamber to the next checks. Home sixteen minutes after the bell and called 24 before it,
/// a diver has 40 minutes less than lie between the runs, which is less than none; in two bells at once he is only where the
/// runs themselves overlap.
#[test]
fn less_than_no_rest_is_not_two_bells() {
    let mut p = problem(120.0);
    let bell = &mut p.bells[0];
    (bell.lead_s, bell.tail_s) = (24 * MIN, 40 * MIN);
    let words = |gap: i64| {
        let runs = vec![
            turn(&p, H, 2 * H, &[(0, H)]),
            turn(&p, 3 * H + gap, 2 * H, &[(0, H)]),
        ];
        of(&judged("canada", &p, runs), "canada1988.rest")[0]
            .words
            .clone()
    };
    for (gap, told) in [
        (10 * MIN, "AB: rest of -0 h 30 min; at least 8 h 00 min"),
        (0, "AB: rest of -0 h 40 min; at least 8 h 00 min"),
        (-1, "AB is in two bells at once"),
    ] {
        assert_eq!(words(gap), told);
    }
}

/// How often a rule binds: each run of three in a bell of three, and no run in a bell of four; a run of a minute less than
/// the longest for each of its divers, one of a second less again for none. Of margins that are alike the first is told.
#[test]
fn how_often_a_rule_binds() {
    let p = problem(180.0);
    let near = |p: &Problem, length: i64, rule: &str| {
        let runs = [0, 1].map(|day| turn(p, day * 2 * D + H, length, &[(0, H)]));
        let verdict = judged("norway", p, runs.to_vec());
        let near = verdict.nearest.into_iter().find(|n| n.rule.id == rule);
        near.map(|n| (n.binds, n.diver))
    };
    let mut wide = p.clone();
    wide.bells[0].places = 4;
    assert_eq!(near(&p, 2 * H, "house.rota.places"), Some((2, None)));
    assert_eq!(near(&wide, 2 * H, "house.rota.places"), Some((0, None)));
    for (short_s, binds) in [(0, 6), (60, 6), (61, 0), (-1, 0)] {
        let found = near(&p, 8 * H - short_s, "norway.bell-run.180");
        assert_eq!(found, Some((binds, Some(DiverId(0)))), "{short_s}");
    }
}

/// A run outside the job's days, and one that is over as it begins, are told apart; a run that fills them is in them.
#[test]
fn a_run_outside_the_days_is_told() {
    let mut p = problem(118.0);
    (p.first_s, p.last_s) = (10 * H, 14 * H);
    let words = |first: i64, length: i64| {
        let mut run = turn(&p, first, length, &[(0, H)]);
        run.positions.iter_mut().for_each(|seat| seat.wet.clear());
        let verdict = judged("norway", &p, vec![run]);
        let days = verdict
            .breaches
            .iter()
            .filter(|b| b.rule.id == "house.rota.days");
        days.map(|b| b.words.clone()).collect::<Vec<_>>()
    };
    assert_eq!(words(10 * H, 4 * H), Vec::<String>::new());
    for (first, length, told) in [
        (10 * H - 1, 2 * H, "lies outside the first and last day"),
        (10 * H, 4 * H + 1, "lies outside the first and last day"),
        (11 * H, 0, "returns before it leaves"),
        (11 * H, -H, "returns before it leaves"),
    ] {
        assert_eq!(words(first, length), [told], "{first}, {length}");
    }
}

/// Of two in the bell one is in and changed, forty minutes, before the other goes out, but for the second of rounding; who
/// goes out again himself need not change, and of three the third tends.
#[test]
fn two_in_the_bell_change_before_the_other_goes() {
    let mut p = problem(118.0);
    p.bells[0].change_s = 40 * MIN;
    let told = |people: usize, wet: [&[(i64, i64)]; 2]| {
        let mut run = turn(&p, 10 * H, 7 * H, &[]);
        run.positions.truncate(people);
        for (seat, spans) in run.positions.iter_mut().zip(wet) {
            let span = |&(from, to): &(i64, i64)| Span::new(10 * H + 1 + from, 10 * H + 1 + to);
            seat.wet = spans.iter().map(span).collect();
        }
        let verdict = judged("norway", &p, vec![run]);
        let change = verdict
            .breaches
            .into_iter()
            .filter(|b| b.rule.id == "house.rota.change");
        change
            .map(|b| (b.diver, b.margin.left(), b.words))
            .collect::<Vec<_>>()
    };
    let first: &[(i64, i64)] = &[(0, H)];
    let second = |after_s: i64| [(H + after_s, 3 * H)];
    assert_eq!(told(2, [first, &second(40 * MIN)]), []);
    assert_eq!(told(2, [first, &second(40 * MIN - 1)]), []);
    let words = |who: &str| {
        format!("{who} leaves 0 h 39 min after the other is in; the change takes 0 h 40 min")
    };
    let late = |d, who| vec![(Some(DiverId(d)), -2, words(who))];
    assert_eq!(told(2, [first, &second(40 * MIN - 2)]), late(1, "CD"));
    assert_eq!(told(2, [&second(40 * MIN - 2), first]), late(0, "AB"));
    assert_eq!(told(3, [first, &second(0)]), []);
    let again: &[(i64, i64)] = &[(0, 10 * MIN), (11 * MIN, H)];
    assert_eq!(told(2, [again, &second(40 * MIN)]), []);
}

/// What counts is where a diver lives while the bell is away, and not where he lived before: a chamber from which the bell is
/// not reached, and another depth.
#[test]
fn where_a_diver_lives_is_where_he_is_then() {
    let (mut p, runs) = whole();
    let here = p.divers[0].stays[0];
    let away = Stay {
        storage_msw: 100.0,
        chamber: CompartmentId(5),
        ..here
    };
    let mut broken = |stays: [&Stay; 2]| {
        let between = [Span::new(0, 5 * H), Span::new(5 * H, 60 * D)];
        p.divers[0].stays = stays
            .into_iter()
            .zip(between)
            .map(|(stay, span)| Stay { span, ..*stay })
            .collect();
        let verdict = judged("norway", &p, runs[..1].to_vec());
        let ids = verdict.breaches.into_iter().map(|b| b.rule.id);
        ids.collect::<Vec<_>>()
    };
    assert_eq!(broken([&away, &here]), Vec::<String>::new());
    assert_eq!(
        broken([&here, &away]),
        ["house.rota.one-storage", "house.rota.reach"]
    );
}

/// Norway's text has no excursions: work away from storage is not answered, and work at storage asks nothing.
#[test]
fn only_work_away_from_storage_asks_for_an_excursion() {
    let unanswered = |depth_msw: f64| {
        let p = problem(118.0);
        let mut run = turn(&p, 10 * H, 4 * H, &[(0, H)]);
        run.depth_msw = depth_msw;
        let verdict = judged("norway", &p, vec![run]);
        let told = verdict.unanswered.iter().map(ToString::to_string);
        told.filter(|t| t.contains("excursion")).count()
    };
    assert_eq!(unanswered(118.0), 0);
    // A metre is at storage.
    assert_eq!((unanswered(118.5), unanswered(117.5)), (0, 0));
    assert_eq!(unanswered(125.0), 1);
    assert_eq!(unanswered(110.0), 1);
}

/// Norway s. 94: the longer time in the water calls for a dry day in the three days from it on. Long on the tenth day and
/// short on the three after: the twelfth ought to have been dry, and of the thirteenth nothing is asked any more.
#[test]
fn a_long_day_calls_for_a_dry_one_within_three() {
    let p = problem(150.0);
    let runs = [10i64, 11, 12, 13].map(|day| {
        let wet: &[(i64, i64)] = match day {
            10 => &[(0, 3 * H), (3 * H + 30 * MIN, 6 * H)],
            _ => &[(0, 3 * H)],
        };
        turn(&p, day * D + 6 * H, 8 * H, wet)
    });
    let verdict = judged("norway", &p, runs.to_vec());
    let told: Vec<(i64, i64)> = of(&verdict, "norway.in-water.180#dry-day")
        .iter()
        .map(|b| (b.when.from_s / D, b.margin.left()))
        .collect();
    assert_eq!(told, [(12, -1)]);
}

/// 46 CFR 197.434 is answered as the question who tends, kept or broken, and told by what is wanting.
#[test]
fn who_stays_in_the_bell_is_answered_and_told() {
    let p = problem(118.0);
    let told = |change: fn(&mut BellRun)| {
        let mut run = turn(&p, 10 * H, 4 * H, &[(0, 2 * H)]);
        change(&mut run);
        let verdict = judged("united-states", &p, vec![run]);
        let tended = verdict
            .answers
            .iter()
            .find(|a| a.question == WorkQuestion::BellTended);
        let kept = matches!(tended.map(|a| &a.answered), Some(Answered::Kept(_)));
        let breach = verdict
            .breaches
            .into_iter()
            .find(|b| b.rule.id == "uscg.bell-crew");
        (kept, breach.map(|b| b.words).unwrap_or_default())
    };
    assert_eq!(told(|_| {}), (true, String::new()));
    assert_eq!(
        told(|r| r.positions.truncate(1)),
        (false, "1 in the bell; at least 2 go".to_owned())
    );
    assert_eq!(
        told(|r| {
            r.positions.truncate(2);
            r.positions[1].wet = r.positions[0].wet.clone();
        }),
        (false, "nobody stays in the bell".to_owned())
    );
}

/// A set of one's own in which two of three stay: of two in the water it is told how many stay, of three that nobody does.
#[test]
fn two_who_stay_in_the_bell() {
    let text = r#"(format: 1, name: "ours", title: "ours", bell_crew: [(id: "ours.crew",
        source: (document: "an invented rule", status: HouseRule), figures: (least: 3, stay: 2))])"#;
    let ours = RuleSet::from_ron(text, "ours.ron").unwrap_or_else(|bad| panic!("{bad}"));
    let p = problem(118.0);
    let told = |out: usize| {
        let mut run = turn(&p, 10 * H, 4 * H, &[(0, 2 * H)]);
        let wet = run.positions[0].wet.clone();
        for (k, seat) in run.positions.iter_mut().enumerate() {
            seat.role = Role::Diver;
            seat.wet = if k < out { wet.clone() } else { Vec::new() };
        }
        let verdict = check(&Rota { runs: vec![run] }, &p, &ours, &[]);
        let crew = verdict.breaches.iter().find(|b| b.rule.id == "ours.crew");
        crew.map(|b| b.words.clone()).unwrap_or_default()
    };
    assert_eq!(told(1), "");
    assert_eq!(told(2), "1 in the bell while 2 are out; at least 2");
    assert_eq!(told(3), "nobody stays in the bell");
}

/// A qualification is in the water for as long as all the work that takes it, but for a second of rounding.
#[test]
fn a_qualification_is_there_as_long_as_the_work_that_takes_it() {
    let told = |holders: &[usize], wet_s: i64, both: bool| {
        let (mut p, mut runs) = whole();
        for k in holders {
            p.divers[*k].qualifications = vec!["burning".to_owned()];
        }
        p.tasks[0].qualifications = vec!["burning".to_owned()];
        runs.truncate(1);
        runs[0].tasks = vec![(0, wet_s)];
        if both {
            p.tasks[1].qualifications = vec!["burning".to_owned()];
            p.tasks[1].after.clear();
            runs[0].tasks.push((1, H));
        }
        let verdict = judged("norway", &p, runs);
        let work = verdict
            .breaches
            .into_iter()
            .filter(|b| b.rule.id == "house.rota.work");
        work.map(|b| b.words).collect::<Vec<_>>()
    };
    let short = |needed: &str, there: &str| {
        vec![format!(
            "{needed} of work takes burning, which is in the water for {there}"
        )]
    };
    // The first is in the water for two hours, the second for 15 min.
    assert_eq!(told(&[0], 2 * H, false), Vec::<String>::new());
    assert_eq!(told(&[1], 15 * MIN + 1, false), Vec::<String>::new());
    assert_eq!(
        told(&[1], 15 * MIN + 2, false),
        short("0 h 15 min", "0 h 15 min")
    );
    assert_eq!(told(&[], 2 * H, false), short("2 h 00 min", "0 h 00 min"));
    assert_eq!(told(&[2], H, false), short("1 h 00 min", "0 h 00 min"));
    // Two tasks that take it are both his.
    assert_eq!(told(&[0], H, true), Vec::<String>::new());
    assert_eq!(told(&[1], 5 * MIN, true), short("1 h 05 min", "0 h 15 min"));
}

/// More work than there is time in the water is told once where one does it; where two do it, what they are out for together
/// is told beside it.
#[test]
fn work_that_is_longer_than_the_water_is_told_once() {
    let told = |divers: u8| {
        let (mut p, mut runs) = whole();
        runs.truncate(1);
        p.tasks[0].divers = divers;
        if divers == 2 {
            runs[0].positions[1].wet = runs[0].positions[0].wet.clone();
        }
        runs[0].tasks = vec![(0, 3 * H)];
        let verdict = judged("norway", &p, runs);
        let work = verdict
            .breaches
            .into_iter()
            .filter(|b| b.rule.id == "house.rota.work");
        work.map(|b| b.words).collect::<Vec<_>>()
    };
    let longer = "3 h 00 min of work in 2 h 00 min of water".to_owned();
    let together =
        "3 h 00 min of work takes 2 in the water at once, and they are for 2 h 00 min".to_owned();
    assert_eq!(told(1), std::slice::from_ref(&longer));
    let mut both = told(2);
    both.sort();
    assert_eq!(both, [longer, together]);
}

/// Norway s. 94: what is too much in any 12 h is told with the 12 h that end as the diver is in; and the longer time of
/// three in the bell counts over two runs as over one: 3 h, and five hours on 3 h with half an hour in the bell, are 6.
#[test]
fn time_in_the_water_over_two_runs() {
    let deep = problem(200.0);
    let run = turn(&deep, 20 * H, 5 * H, &[(0, 3 * H + MIN)]);
    let in_s = run.positions[0].wet[0].to_s;
    let verdict = judged("norway", &deep, vec![run]);
    let breach = of(&verdict, "norway.in-water.deeper")[0];
    assert_eq!(breach.when, Span::new(in_s - 12 * H, in_s));
    let p = problem(180.0);
    let two = |more: i64| {
        let wet = [(0, 2 * H), (2 * H + 30 * MIN, 3 * H + more)];
        let runs = vec![
            turn(&p, H, 5 * H, &[(0, 3 * H)]),
            turn(&p, 8 * H, 5 * H, &wet),
        ];
        let verdict = judged("norway", &p, runs);
        let told = verdict.breaches.iter();
        told.map(|b| (b.rule.id.clone(), b.margin.left()))
            .collect::<Vec<_>>()
    };
    assert_eq!(two(0), []);
    let six_hours = "norway.in-water.180#three-man".to_owned();
    assert_eq!(two(MIN), [(six_hours, -MIN)]);
}
