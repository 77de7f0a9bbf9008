//! Days under pressure and at the surface against the documents: for each a case that just passes and one
//! that is an hour too long or too short.
//!
//! Norway: Activities Regulations s. 94. France: orders of 15 May 1992, art. 4, and 14 May 2019. Canada:
//! SOR/88-600 and, for Newfoundland and Labrador, SOR/2021-247. The UK's and Brazil's are from memory.

use super::check::{judged, of, problem};
use super::problem::{D, H, HOME};
use deepstay_rota::{Problem, Rota, Saturation, Span, Stay, check};
use deepstay_rules::{Status, builtin};

/// Gives the first diver saturations; each is at depth but for a day at either end.
pub fn pressed(mut problem: Problem, spans: &[(i64, i64)]) -> Problem {
    for diver in &mut problem.divers {
        diver.saturations = spans
            .iter()
            .map(|&(from, to)| Saturation {
                pressed_s: from,
                arrived_s: from + D,
                leaves_s: to - D,
                surfaced_s: to,
            })
            .collect();
        let stay = |&(from, to): &(i64, i64)| Stay {
            span: Span::new(from + D, to - D),
            storage_msw: problem.working_msw,
            chamber: HOME,
        };
        diver.stays = spans.iter().map(stay).collect();
    }
    problem
}

/// Days: France 30 from compression to surface, 100 in twelve months; Norway 14 and 10 at working depth;
/// Canada 31; Canada-NL 28.
#[test]
fn days_under_pressure() {
    for (set, depth, rule, days) in [
        ("france", 150.0, "france.saturation", 30),
        ("norway", 180.0, "norway.saturation.180", 16),
        ("norway", 200.0, "norway.saturation.deeper", 12),
        ("canada", 150.0, "canada1988.saturation", 31),
        ("canada-nl", 150.0, "canadanl.saturation", 28),
    ] {
        let pass = pressed(problem(depth), &[(0, days * D)]);
        assert!(judged(set, &pass, Vec::new()).legal(), "{set}");
        let fail = pressed(problem(depth), &[(0, days * D + H)]);
        let verdict = judged(set, &fail, Vec::new());
        assert_eq!(of(&verdict, rule)[0].margin.left(), -H, "{set}");
        println!("{set}: {}", of(&verdict, rule)[0].words);
    }
    let mut year = pressed(problem(150.0), &[(0, 30 * D)]);
    year.divers[0].before.in_year_s = 70 * D;
    assert!(judged("france", &year, Vec::new()).legal());
    year.divers[0].before.in_year_s += H;
    let verdict = judged("france", &year, Vec::new());
    assert_eq!(of(&verdict, "france.saturation#year")[0].margin.left(), -H);
}

/// Norway's days at working depth begin when the depth is reached: the hour until people may go to the bell is none of
/// the rest, and counts.
#[test]
fn days_at_depth_begin_on_arrival() {
    let mut p = pressed(problem(180.0), &[(0, 16 * D)]);
    for diver in &mut p.divers {
        diver.stays[0].span.from_s += H;
    }
    assert!(judged("norway", &p, Vec::new()).legal());
    for diver in &mut p.divers {
        diver.saturations[0].arrived_s -= H;
    }
    let verdict = judged("norway", &p, Vec::new());
    let left = of(&verdict, "norway.saturation.180")[0].margin.left();
    assert_eq!(left, -H);
}

/// Surface interval: Canada 14 d after up to 14 d, else 28 d; Norway as long as the saturation before,
/// twice as long deeper than 180 m; France as long.
#[test]
fn surface_interval() {
    for (set, depth, rule, first_days, interval_days) in [
        ("canada", 150.0, "canada1988.interval", 14, 14),
        ("canada", 150.0, "canada1988.interval", 15, 28),
        ("norway", 180.0, "norway.interval.180", 14, 14),
        ("norway", 200.0, "norway.interval.deeper", 10, 20),
        ("france", 150.0, "france.interval", 20, 20),
    ] {
        let again = |interval: i64| {
            let down = first_days * D + interval;
            pressed(
                problem(depth),
                &[(0, first_days * D), (down, down + 10 * D)],
            )
        };
        let verdict = judged(set, &again(interval_days * D), Vec::new());
        assert!(verdict.legal(), "{set}: {:?}", verdict.breaches);
        let verdict = judged(set, &again(interval_days * D - H), Vec::new());
        assert_eq!(of(&verdict, rule)[0].margin.left(), -H, "{set}");
    }
    // A saturation before the job counts as well.
    let mut p = pressed(problem(150.0), &[(0, 10 * D)]);
    p.divers[0].before.last = Some((28 * D, 20 * D));
    assert!(judged("canada", &p, Vec::new()).legal());
    p.divers[0].before.last = Some((28 * D - H, 20 * D));
    assert_eq!(
        of(&judged("canada", &p, Vec::new()), "canada1988.interval").len(),
        1
    );
}

/// UK and Brazilian days are recalled: without acceptance they are not judged, and the verdict says so.
#[test]
fn recalled_days_are_not_judged_unless_accepted() {
    for (set, id) in [
        ("uk", "uk.saturation"),
        ("brazil-2025", "brazil2025.saturation"),
    ] {
        let p = pressed(problem(118.0), &[(0, 28 * D + H)]);
        let rules = builtin(set).expect("built in");
        let verdict = check(&Rota::default(), &p, &rules, &[]);
        assert!(verdict.legal());
        assert!(
            verdict
                .unanswered
                .iter()
                .any(|r| r.to_string().contains(id)),
            "{verdict:?}"
        );
        let verdict = check(&Rota::default(), &p, &rules, &[id.to_owned()]);
        assert_eq!(of(&verdict, id)[0].rule.source.status, Status::Recalled);
    }
}
