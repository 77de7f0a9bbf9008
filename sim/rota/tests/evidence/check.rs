//! The judge of a rota against the working-time rules as the documents print them: for each a rota that
//! just passes and one that is a minute, a metre or a day too much.
//!
//! Norway: Activities Regulations s. 94. United Kingdom: HSE, DVIS 7 (1998). Brazil: NORMAM-222 of January
//! 2025, 10.7. France: order of 14 May 2019, arts 25 to 27. Canada: SOR/88-600.

use super::days::pressed;
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_rota::{
    Answered, Before, Bell, BellRun, Breach, Diver, House, Position, Problem, Role, Rota, Span,
    Stay, Verdict, WorkQuestion, check,
};
use deepstay_rules::{Status, builtin};

const MIN: i64 = 60;
const H: i64 = 3600;
const D: i64 = 86_400;
pub const BELL: CompartmentId = CompartmentId(9);
const HOME: CompartmentId = CompartmentId(0);

/// Three divers at a depth from the second day to the sixtieth, a three-man bell, no house rest, and a
/// bell that is at depth at once: only the documents judge.
pub fn problem(depth_msw: f64) -> Problem {
    let diver = |initials: &str| Diver {
        initials: initials.to_owned(),
        team: 1,
        qualifications: Vec::new(),
        saturations: Vec::new(),
        stays: vec![Stay {
            span: Span::new(0, 60 * D),
            storage_msw: depth_msw,
            chamber: HOME,
        }],
        before: Before::default(),
        unfit: Vec::new(),
        prefers_s: None,
    };
    Problem {
        divers: ["AB", "CD", "EF"].map(diver).to_vec(),
        fixed_teams: true,
        bells: vec![Bell {
            reached_from: vec![HOME],
            id: BELL,
            name: "Bell".to_owned(),
            places: 3,
            lead_s: 0,
            out_s: 0,
            dressing_s: 0,
            home_s: 0,
            tail_s: 0,
            change_s: 0,
            handling_s: 0,
            winch_msw_s: 1e9,
            down: Vec::new(),
        }],
        tasks: Vec::new(),
        working_msw: depth_msw,
        weather_share: 0.0,
        same_hours: false,
        team_hours: false,
        kept_bells: false,
        first_s: 0,
        last_s: 60 * D,
        start_second_of_day: 0,
        house: House {
            rest_s: 0,
            bell_run_s: 8 * H,
            in_water_s: 6 * H,
            planned_water_s: None,
        },
        limits: Vec::new(),
        excursions: Vec::new(),
    }
}

/// A turn of three: the first in the water in these spans from its start, the second for a quarter of an
/// hour, the third tends them.
pub fn turn(problem: &Problem, first: i64, length: i64, wet: &[(i64, i64)]) -> BellRun {
    let wet: Vec<Span> = wet
        .iter()
        .map(|(from, to)| Span::new(first + 1 + from, first + 1 + to))
        .collect();
    let short = wet
        .first()
        .map(|w| Span::new(w.from_s, w.from_s + 15 * MIN));
    let seat = |d: u8, role, wet| Position {
        diver: DiverId(d),
        role,
        wet,
    };
    BellRun {
        bell: BELL,
        first,
        last: first + length,
        depth_msw: problem.working_msw,
        positions: vec![
            seat(0, Role::Diver, wet),
            seat(1, Role::Diver, short.into_iter().collect()),
            seat(2, Role::Bellman, Vec::new()),
        ],
        tasks: Vec::new(),
    }
}

pub fn judged(set: &str, problem: &Problem, turns: Vec<BellRun>) -> Verdict {
    let rules = builtin(set).expect("built in");
    check(&Rota { runs: turns }, problem, &rules, &[])
}

/// Breaches of the first diver by a rule.
pub fn of<'a>(verdict: &'a Verdict, rule: &str) -> Vec<&'a Breach> {
    let his = |b: &&Breach| b.diver == Some(DiverId(0)) && b.rule.id == rule;
    verdict.breaches.iter().filter(his).collect()
}

/// One passes without any breach; the other breaks this rule by so much, and the rule has its source.
fn just(set: &str, problem: &Problem, pass: Vec<BellRun>, fail: Vec<BellRun>, rule: &str, by: i64) {
    let verdict = judged(set, problem, pass);
    assert!(verdict.legal(), "{set}, {rule}: {:#?}", verdict.breaches);
    let verdict = judged(set, problem, fail);
    let breaches = of(&verdict, rule);
    assert!(
        !breaches.is_empty(),
        "{set}: no breach of {rule} in {verdict:#?}"
    );
    assert_eq!(breaches[0].margin.left(), -by, "{}", breaches[0].words);
    assert_eq!(breaches[0].rule.source.status, Status::Seen);
    assert!(!breaches[0].rule.source.document.is_empty());
    println!("{set}: {}", breaches[0].words);
}

/// Norway s. 94: bell run 8 h to 180 m, 6 h deeper.
#[test]
fn norway_bell_run() {
    let p = problem(180.0);
    let run = |p: &Problem, length| vec![turn(p, H, length, &[(0, 2 * H)])];
    just(
        "norway",
        &p,
        run(&p, 8 * H),
        run(&p, 8 * H + MIN),
        "norway.bell-run.180",
        MIN,
    );
    let p = problem(181.0);
    just(
        "norway",
        &p,
        run(&p, 6 * H),
        run(&p, 6 * H + MIN),
        "norway.bell-run.deeper",
        MIN,
    );
}

/// Norway s. 94: 4 h in the water in any 12 h to 180 m, 3 h deeper; the window slides over two turns.
#[test]
fn norway_water_in_twelve_hours() {
    let p = problem(200.0);
    let one = |water| vec![turn(&p, H, 5 * H, &[(0, water)])];
    just(
        "norway",
        &p,
        one(3 * H),
        one(3 * H + MIN),
        "norway.in-water.deeper",
        MIN,
    );
    // 3 h, then 3 h again: the second begins 12 h after the first began, or a minute sooner.
    let two = |sooner| {
        vec![
            turn(&p, H, 4 * H, &[(0, 3 * H)]),
            turn(&p, 13 * H - sooner, 4 * H, &[(0, 3 * H)]),
        ]
    };
    just(
        "norway",
        &p,
        two(0),
        two(MIN),
        "norway.in-water.deeper",
        MIN,
    );
    // In two pieces of one turn.
    let p = problem(150.0);
    let pieces = |more| vec![turn(&p, H, 7 * H, &[(0, 2 * H), (3 * H, 5 * H + more)])];
    let verdict = judged("norway", &p, pieces(0));
    let broken: Vec<&str> = verdict
        .breaches
        .iter()
        .map(|b| b.rule.id.as_str())
        .collect();
    assert_eq!(
        broken,
        Vec::<&str>::new(),
        "4 h in the water and an hour in the bell between"
    );
}

/// Norway s. 94, three-man bell to 180 m: 6 h with a break of 30 min in the third to fourth hour, which
/// counts.
#[test]
fn norway_three_man_break() {
    let p = problem(180.0);
    let one = |wet: &[(i64, i64)]| vec![turn(&p, H, 8 * H, wet)];
    let good = [(0, 3 * H), (3 * H + 30 * MIN, 6 * H)];
    let long = [(0, 3 * H), (3 * H + 30 * MIN, 6 * H + MIN)];
    just(
        "norway",
        &p,
        one(&good),
        one(&long),
        "norway.in-water.180#three-man",
        MIN,
    );
    let short = [(0, 3 * H), (3 * H + 29 * MIN, 6 * H)];
    just(
        "norway",
        &p,
        one(&good),
        one(&short),
        "norway.in-water.180#break",
        MIN,
    );
    let early = [(0, 90 * MIN), (2 * H, 6 * H)];
    just(
        "norway",
        &p,
        one(&good),
        one(&early),
        "norway.in-water.180#break",
        30 * MIN,
    );
    let at_the_end = [(0, 3 * H + 30 * MIN), (4 * H, 6 * H)];
    assert!(judged("norway", &p, one(&at_the_end)).legal());
    // Without a break the 4 h hold.
    let whole = [(0, 4 * H + MIN)];
    just(
        "norway",
        &p,
        one(&[(0, 4 * H)]),
        one(&whole),
        "norway.in-water.180#break",
        30 * MIN,
    );
}

/// Norway s. 94: with 6 h in the water every third day is dry.
#[test]
fn norway_third_dry_day() {
    let p = problem(150.0);
    let wet = [(0, 3 * H), (3 * H + 30 * MIN, 6 * H)];
    let days = |wet_days: &[i64]| {
        let turns = wet_days
            .iter()
            .map(|d| turn(&p, d * D + 6 * H, 8 * H, &wet));
        turns.collect::<Vec<_>>()
    };
    just(
        "norway",
        &p,
        days(&[0, 1, 3, 4, 6]),
        days(&[0, 1, 2]),
        "norway.in-water.180#dry-day",
        1,
    );
    // On the third day he may go as bellman.
    let mut turns = days(&[0, 1]);
    let mut dry = turn(&p, 2 * D + 6 * H, 8 * H, &[]);
    dry.positions[0].role = Role::Bellman;
    turns.push(dry);
    assert!(judged("norway", &p, turns).legal());
    // With no more than 4 h the dry day is not asked for.
    let short: Vec<BellRun> = (0..5)
        .map(|d| turn(&p, d * D, 8 * H, &[(0, 4 * H)]))
        .collect();
    assert!(judged("norway", &p, short).legal());
}

/// The dry day cannot be walked round: a day on which two go in the bell of three and he is in the water is a wet day too.
#[test]
fn two_in_a_bell_of_three_make_no_dry_day() {
    let p = problem(150.0);
    let wet = [(0, 3 * H), (3 * H + 30 * MIN, 6 * H)];
    let mut turns: Vec<BellRun> = [0, 1, 2]
        .map(|d| turn(&p, d * D + 6 * H, 8 * H, &wet))
        .to_vec();
    turns[2].positions[0].wet = vec![Span::new(2 * D + 7 * H, 2 * D + 9 * H)];
    turns[2].positions.truncate(2);
    turns[2].positions[1].wet.clear();
    let verdict = judged("norway", &p, turns);
    let rule = "norway.in-water.180#dry-day";
    assert_eq!(of(&verdict, rule)[0].margin.left(), -1);
}

/// The longer time is that of three in the bell. Out for five hours with an hour in the bell between, three days running: of
/// three the third day ought to be dry; two keep the 4 h in any 12 h and have no day to keep dry.
#[test]
fn two_in_a_bell_have_no_longer_time_and_no_dry_day() {
    let p = problem(150.0);
    let days = |people: usize| {
        let wet = [(0, 2 * H), (3 * H, 5 * H)];
        let runs = [0, 1, 2].map(|d| {
            let mut run = turn(&p, d * D + 6 * H, 7 * H, &wet);
            run.positions[1].wet.clear();
            run.positions.truncate(people);
            run
        });
        judged("norway", &p, runs.to_vec())
    };
    let three = days(3);
    let breaches = of(&three, "norway.in-water.180#dry-day");
    assert_eq!(breaches[0].margin.left(), -1);
    assert_eq!(three.breaches.len(), 1, "{:?}", three.breaches);
    let two = days(2);
    assert!(two.legal(), "{:?}", two.breaches);
}

/// A bell with all its lengths: sealed in 24 min after the checks begin, the clamp loosened 10 min 30 s later; clamped on
/// to the trunk at the chamber's pressure 14 min, and home two minutes after that, at 120 msw.
fn with_lengths(mut p: Problem) -> Problem {
    let bell = &mut p.bells[0];
    (bell.lead_s, bell.out_s, bell.tail_s) = (24 * MIN, 18 * MIN, 40 * MIN);
    p
}

/// Each text starts and stops its clock where its own words do: Norway and France from the clamp loosened to clamped on,
/// the UK to ready to transfer, Brazil seal to seal; and a rest without checks (UK, DVIS 7) begins in the chamber and ends
/// with the next checks.
#[test]
fn each_clock_by_its_own_words() {
    let p = with_lengths(problem(120.0));
    let clamp_off = 10 * MIN + 30;
    let ready = 4 * MIN + 120 * 60 / 12;
    let run = |length| vec![turn(&p, H, length, &[(0, H)])];
    for (set, rule, longest) in [
        ("norway", "norway.bell-run.180", 8 * H + clamp_off),
        ("france", "france.bell-run", 8 * H + clamp_off),
        ("france-2012", "france2012.bell-run", 8 * H + clamp_off),
        ("uk", "uk.bell-run", 8 * H + clamp_off - ready),
        ("brazil-2025", "brazil2025.bell-run", 8 * H),
    ] {
        assert!(of(&judged(set, &p, run(longest)), rule).is_empty(), "{set}");
        let verdict = judged(set, &p, run(longest + MIN));
        assert_eq!(of(&verdict, rule)[0].margin.left(), -MIN, "{set}");
    }
    let two = |gap| {
        vec![
            turn(&p, H, 8 * H, &[(0, H)]),
            turn(&p, 9 * H + gap, 8 * H, &[(0, H)]),
        ]
    };
    for (set, rule, rest) in [
        ("uk", "uk.rest", 12 * H),
        ("brazil-2025", "brazil2025.rest", 12 * H),
        ("canada", "canada1988.rest", 8 * H),
    ] {
        let gap = ready + 2 * MIN + rest + 24 * MIN;
        assert!(of(&judged(set, &p, two(gap)), rule).is_empty(), "{set}");
        let verdict = judged(set, &p, two(gap - MIN));
        assert_eq!(of(&verdict, rule)[0].margin.left(), -MIN, "{set}");
    }
    // Canada: 12 h of work in any 24 h, the checks and the way home among it.
    let work = |length| vec![turn(&p, H, length, &[(0, H)])];
    let most = 12 * H - 24 * MIN - ready - 2 * MIN;
    let rule = "canada1988.rest#work";
    assert!(of(&judged("canada", &p, work(most)), rule).is_empty());
    let verdict = judged("canada", &p, work(most + MIN));
    assert_eq!(of(&verdict, rule)[0].margin.left(), -MIN);
}

/// A set that says nothing of a question does not keep it: it is not judged, and that is said. Canada's text (SOR/88-600)
/// has neither a longest bell run nor a time in the water; its rest is asked all the same.
#[test]
fn what_a_set_says_nothing_of_is_not_judged() {
    let p = problem(118.0);
    let long = vec![
        turn(&p, H, 12 * H, &[(0, 9 * H)]),
        turn(&p, 20 * H, 2 * H, &[(0, H)]),
    ];
    let answer = |set: &str, question| {
        let verdict = judged(set, &p, long.clone());
        let mut answers = verdict.answers.into_iter();
        let found = answers.find(|a| a.question == question);
        found.expect("every question is answered").answered
    };
    for set in ["canada", "canada-nl", "united-states"] {
        for question in [WorkQuestion::BellRun, WorkQuestion::InWater] {
            assert_eq!(
                answer(set, question),
                Answered::NotJudged("the set says nothing of it".to_owned()),
                "{set}"
            );
        }
    }
    let Answered::Broken { times: 3, worst } = answer("canada", WorkQuestion::Rest) else {
        panic!("{:?}", answer("canada", WorkQuestion::Rest))
    };
    assert_eq!(worst.margin.left(), -H);
    // What is only remembered says which row it would take.
    let days = pressed(problem(118.0), &[(0, 20 * D)]);
    let verdict = judged("uk", &days, Vec::new());
    let told = verdict
        .answers
        .iter()
        .find(|a| a.question == WorkQuestion::Saturation);
    let Some(Answered::NotJudged(why)) = told.map(|a| &a.answered) else {
        panic!("{told:?}")
    };
    assert!(why.contains("uk.saturation is from memory"), "{why}");
    let asked: Vec<_> = verdict.answers.iter().map(|a| a.question).collect();
    assert_eq!(asked, WorkQuestion::ALL);
}

/// UK DVIS 7: a run of 8 h, and the clock is not set back when the bell comes home and leaves again.
#[test]
fn uk_clock_is_not_set_back() {
    let p = problem(118.0);
    let twice = |more| {
        vec![
            turn(&p, H, 3 * H, &[(0, 2 * H)]),
            turn(&p, 5 * H, 4 * H + more, &[(0, 3 * H)]),
        ]
    };
    just("uk", &p, twice(0), twice(MIN), "uk.bell-run", MIN);
    // The water of both counts to the 6 h.
    let wet = |more| {
        vec![
            turn(&p, H, 3 * H + 30 * MIN, &[(0, 3 * H)]),
            turn(&p, 5 * H, 4 * H, &[(0, 3 * H + more)]),
        ]
    };
    just("uk", &p, wet(0), wet(MIN), "uk.in-water", MIN);
    // Norway's clock starts anew at each loosening of the clamp: the same turns pass there.
    assert!(
        judged("norway", &p, twice(MIN))
            .breaches
            .iter()
            .all(|b| b.rule.id != "norway.bell-run.180")
    );
}

/// UK DVIS 7: lock-out up to 6 h, rest of 12 h, one run in 24 h.
#[test]
fn uk_water_rest_and_runs() {
    let p = problem(118.0);
    let one = |water| vec![turn(&p, H, 8 * H, &[(0, water)])];
    just("uk", &p, one(6 * H), one(6 * H + MIN), "uk.in-water", MIN);
    let two = |start, length| {
        vec![
            turn(&p, H, length, &[(0, 2 * H)]),
            turn(&p, start, 8 * H, &[(0, 2 * H)]),
        ]
    };
    just(
        "uk",
        &p,
        two(25 * H, 8 * H),
        two(25 * H - MIN, 8 * H),
        "uk.bell-run#runs-a-day",
        MIN,
    );
    let verdict = judged("uk", &p, two(21 * H - MIN, 8 * H));
    assert_eq!(of(&verdict, "uk.rest")[0].margin.left(), -MIN);
    assert_eq!(
        of(&judged("uk", &p, two(21 * H, 8 * H)), "uk.rest").len(),
        0
    );
}

/// Brazil, NORMAM-222 of January 2025: 6 h in the water to 210 m, 5 h to 260 m, 4 h to 300 m; no figure
/// past that.
#[test]
fn brazil_depth_bands() {
    for (depth, rule, hours) in [
        (210.0, "brazil2025.in-water", 6),
        (211.0, "brazil2025.in-water.260", 5),
        (260.0, "brazil2025.in-water.260", 5),
        (261.0, "brazil2025.in-water.300", 4),
        (300.0, "brazil2025.in-water.300", 4),
    ] {
        let p = problem(depth);
        let one = |water| vec![turn(&p, H, 8 * H, &[(0, water)])];
        just(
            "brazil-2025",
            &p,
            one(hours * H),
            one(hours * H + MIN),
            rule,
            MIN,
        );
    }
    let p = problem(301.0);
    let verdict = judged("brazil-2025", &p, vec![turn(&p, H, 8 * H, &[(0, 7 * H)])]);
    assert!(
        of(&verdict, "brazil2025.in-water.300").is_empty(),
        "no figure, no verdict"
    );
}

/// Brazil: 8 h in the bell in any 24 h, 12 h of rest.
#[test]
fn brazil_bell_and_rest() {
    let p = problem(200.0);
    let two = |length| {
        vec![
            turn(&p, H, 4 * H, &[(0, H)]),
            turn(&p, 17 * H, length, &[(0, H)]),
        ]
    };
    let verdict = judged("brazil-2025", &p, two(4 * H + MIN));
    assert_eq!(
        of(&verdict, "brazil2025.bell-run#window")[0].margin.left(),
        -MIN
    );
    assert!(
        of(
            &judged("brazil-2025", &p, two(4 * H)),
            "brazil2025.bell-run#window"
        )
        .is_empty()
    );
    let after = |rest| {
        vec![
            turn(&p, H, 8 * H, &[(0, H)]),
            turn(&p, 9 * H + rest, 8 * H, &[(0, H)]),
        ]
    };
    let verdict = judged("brazil-2025", &p, after(12 * H - MIN));
    assert_eq!(of(&verdict, "brazil2025.rest")[0].margin.left(), -MIN);
    assert!(of(&judged("brazil-2025", &p, after(16 * H)), "brazil2025.rest").is_empty());
}

/// France: bell run 8 h unclamp to clamp (order of 14 May 2019).
#[test]
fn france_bell_run() {
    let p = problem(150.0);
    let one = |length, water| vec![turn(&p, H, length, &[(0, water)])];
    just(
        "france",
        &p,
        one(8 * H, 7 * H),
        one(8 * H + MIN, 7 * H),
        "france.bell-run",
        MIN,
    );
    // The 7 h in the water of 1992 are not in force: nothing is judged by them.
    assert!(judged("france", &p, one(8 * H, 7 * H + MIN)).legal());
}

/// Canada SOR/88-600: 8 h of rest, at most 12 h of work in 24 h.
#[test]
fn canada_rest_and_work() {
    let p = problem(118.0);
    let two = |rest, second| {
        vec![
            turn(&p, H, 6 * H, &[(0, H)]),
            turn(&p, 7 * H + rest, second, &[(0, H)]),
        ]
    };
    just(
        "canada",
        &p,
        two(8 * H, 6 * H),
        two(8 * H - MIN, 6 * H),
        "canada1988.rest",
        MIN,
    );
    just(
        "canada",
        &p,
        two(8 * H, 6 * H),
        two(8 * H, 6 * H + MIN),
        "canada1988.rest#work",
        MIN,
    );
}
