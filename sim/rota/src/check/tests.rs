//! What only a job is judged by and no rota: routine, and how a way up begins; each just kept and just broken.

use super::{Breathed, Moments, Routine, check, judge_work};
use crate::answer::Verdict;
use crate::margin::Margin;
use crate::questions::{Answered, WorkQuestion};
use crate::rule::House;
use crate::types::{Before, BellRun, Diver, Position, Problem, Role, Rota, Saturation, Span};
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_rules::builtin;

const DAY_S: i64 = 86_400;

/// One man, twenty days under pressure.
fn problem() -> Problem {
    Problem {
        divers: vec![Diver {
            initials: "AB".to_owned(),
            team: 1,
            qualifications: Vec::new(),
            saturations: vec![Saturation {
                pressed_s: 0,
                arrived_s: DAY_S,
                leaves_s: 15 * DAY_S,
                surfaced_s: 20 * DAY_S,
            }],
            stays: Vec::new(),
            before: Before::default(),
            unfit: Vec::new(),
            prefers_s: None,
        }],
        fixed_teams: true,
        bells: Vec::new(),
        tasks: Vec::new(),
        working_msw: 50.0,
        weather_share: 0.0,
        same_hours: false,
        team_hours: false,
        kept_bells: false,
        first_s: 0,
        last_s: 20 * DAY_S,
        start_second_of_day: 0,
        house: House {
            rest_s: 0,
            bell_run_s: 0,
            in_water_s: 0,
            planned_water_s: None,
        },
        limits: Vec::new(),
        excursions: Vec::new(),
    }
}

fn judged(set: &str, routine: Routine) -> Verdict {
    judged_with(set, routine, Rota::default())
}

fn judged_with(set: &str, routine: Routine, rota: Rota) -> Verdict {
    let rules = builtin(set).expect("built in");
    let problem = problem();
    let runs = rota.runs.iter();
    let moments: Vec<Moments> = runs.map(|run| Moments::planned(run, &problem)).collect();
    let what = (routine, &Breathed::default());
    judge_work(&rota, &problem, &moments, what, (&rules, &[]))
}

fn answer(verdict: &Verdict, question: WorkQuestion) -> &Answered {
    let found = verdict.answers.iter().find(|a| a.question == question);
    &found.expect("every question is answered").answered
}

/// Canada, SOR/88-600: the chamber log at most every 30 min (s. 52), analysers in use recalibrated every 2 h.
#[test]
fn log_and_calibration_at_their_intervals() {
    let from_s = 3 * DAY_S;
    let span = |length_s: i64| Some(Span::new(from_s, from_s + length_s));
    let questions = [WorkQuestion::LogInterval, WorkQuestion::Calibration];
    let kept = judged(
        "canada",
        Routine {
            log: span(1800),
            calibration: span(7200),
        },
    );
    assert!(kept.legal(), "{:?}", kept.breaches);
    for question in questions {
        let Answered::Kept(nearest) = answer(&kept, question) else {
            panic!("{question:?}: {:?}", kept.answers)
        };
        assert_eq!(nearest.margin.left(), 0);
    }
    let broken = judged(
        "canada",
        Routine {
            log: span(1860),
            calibration: span(7260),
        },
    );
    let told: Vec<(&str, i64, &str)> = broken
        .breaches
        .iter()
        .map(|b| (b.rule.id.as_str(), b.margin.left(), b.words.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            (
                "canada1988.log",
                -60,
                "no row of the log for 0 h 31 min; at most 0 h 30 min"
            ),
            (
                "canada1988.calibration",
                -60,
                "an analyser in use not calibrated for 2 h 01 min; at most 2 h 00 min"
            ),
        ]
    );
    for question in questions {
        assert!(matches!(
            answer(&broken, question),
            Answered::Broken { times: 1, .. }
        ));
        // Norway's text says nothing of either.
        let silent = judged("norway", Routine::default());
        assert_eq!(
            answer(&silent, question),
            &Answered::NotJudged("the set says nothing of it".to_owned())
        );
    }
}

/// A rota says nothing of what is breathed and of how the way up begins, and that is answered.
#[test]
fn what_a_rota_says_nothing_of() {
    let rules = builtin("norway").expect("built in");
    let verdict = check(&Rota::default(), &problem(), &rules, &[]);
    for question in [
        WorkQuestion::OxygenAtWork,
        WorkQuestion::GasDensity,
        WorkQuestion::MaskTime,
        WorkQuestion::DecompressionStart,
    ] {
        assert_eq!(
            answer(&verdict, question),
            &Answered::NotJudged("a rota says nothing of it; it is judged of a job".to_owned())
        );
    }
}

/// Where a set wants no hold before the way up, that no excursion begins it is a demand and has no margin.
#[test]
fn a_way_up_without_a_hold_is_a_demand() {
    // He is home from his last run a day before.
    let run = BellRun {
        bell: CompartmentId(9),
        first: 14 * DAY_S - 3600,
        last: 14 * DAY_S,
        depth_msw: 50.0,
        positions: vec![Position {
            diver: DiverId(0),
            role: Role::Diver,
            wet: Vec::new(),
        }],
        tasks: Vec::new(),
    };
    let rota = Rota { runs: vec![run] };
    let verdict = judged_with("demonstration", Routine::default(), rota);
    let Answered::Kept(nearest) = answer(&verdict, WorkQuestion::DecompressionStart) else {
        panic!("{:?}", verdict.answers)
    };
    assert_eq!(nearest.margin, Margin::Demand);
    assert_eq!(nearest.rule.words, "no upward excursion begins it");
}
