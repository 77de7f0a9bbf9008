//! Where there is no legal rota: which rules collide, and the smallest relaxation that helps. Each case is
//! one whose smallest relaxation follows by hand from the lengths of a turn.
//!
//! A turn of two men at 118 msw is at the least 18 min out, 10 min 54 s down (5 min and 118 msw at 20 msw/min),
//! half an hour in the water, 15 min of change, 10 min 54 s up and 23 min home: 107 min 48 s; checks of 24 min go
//! before it, and 16 min follow.

use super::problem::{D, H, MIN, problem, under};
use super::solve::task;
use deepstay_rota::{Amount, NoRota, Problem, Saturation, make};
use deepstay_rules::builtin;

fn refused(set: &str, p: &Problem) -> NoRota {
    let rules = builtin(set).expect("built in");
    let no = make(p, &rules, &[], &mut |_| true).expect_err("no rota");
    let ways: Vec<String> = no.relaxations.iter().map(|r| r.words()).collect();
    let ids: Vec<&str> = no.rules.iter().map(|r| r.id.as_str()).collect();
    println!("{set}: {} {ids:?} {ways:?}", no.words);
    no
}

/// The amounts of the smallest way out.
fn smallest(no: &NoRota) -> Vec<Amount> {
    let way = no.relaxations.first().expect("a way out");
    way.changes.iter().map(|c| c.amount).collect()
}

/// A slow winch: 5 min and 150 min each way. 18 + 155 + 30 + 15 + 155 + 23 = 396 min from sealed in, and Norway
/// allows 360 from the clamp loosened, 10 min 30 s later: 25 min 30 s are missing.
fn slow() -> Problem {
    let mut p = problem("norway", 6, 2, 1, 200.0, 10);
    p.bells[0].winch_msw_s = 200.0 / 9000.0;
    p
}

#[test]
fn a_bell_run_too_short() {
    let no = refused("norway", &slow());
    assert_eq!(no.rules[0].id, "norway.bell-run.deeper");
    assert_eq!(smallest(&no), [Amount::Seconds(26 * 60)]);
    assert_eq!(
        no.relaxations[0].changes[0].rule.id,
        "norway.bell-run.deeper"
    );
}

/// 24 min, 107 min 48 s and 16 min do not fit into two hours at depth: 27 min 48 s are missing.
#[test]
fn too_short_a_time_at_depth() {
    let mut p = problem("uk", 6, 2, 1, 118.0, 10);
    for d in &mut p.divers {
        d.stays[0].span.to_s = d.stays[0].span.from_s + 2 * H;
    }
    let no = refused("uk", &p);
    assert_eq!(smallest(&no), [Amount::Seconds(28 * 60)]);
    assert_eq!(no.relaxations[0].words(), "28 min more at depth");
}

/// Both together: no single change helps. 24 + 396 + 16 min at depth instead of 120, and 26 min more of a run.
#[test]
fn two_that_help_only_together() {
    let mut p = slow();
    for d in &mut p.divers {
        d.stays[0].span.to_s = d.stays[0].span.from_s + 2 * H;
    }
    let no = refused("norway", &p);
    assert_eq!(
        smallest(&no),
        [Amount::Seconds(26 * 60), Amount::Seconds(316 * 60)]
    );
}

/// Canada (SOR/88-600) asks for 28 days at the surface after 25 under pressure, and there were 20.
#[test]
fn pressed_again_too_soon() {
    let mut p = problem("canada", 6, 2, 1, 118.0, 10);
    for d in &mut p.divers {
        d.before.last = Some((20 * D, 25 * D));
        d.saturations = vec![Saturation {
            pressed_s: 0,
            arrived_s: 6 * H,
            leaves_s: 10 * D,
            surfaced_s: 15 * D,
        }];
    }
    let no = refused("canada", &p);
    assert_eq!(no.rules[0].id, "canada1988.interval");
    assert_eq!(smallest(&no), [Amount::Seconds(8 * D)]);
    assert_eq!(no.relaxations[0].words(), "a job that begins 8 days later");
}

/// Norway allows 14 days at depth; these are 16, so that they come up two days sooner.
#[test]
fn too_long_under_pressure() {
    let mut p = problem("norway", 6, 2, 1, 118.0, 16);
    for d in &mut p.divers {
        d.saturations = vec![Saturation {
            pressed_s: 0,
            arrived_s: 6 * H,
            leaves_s: 6 * H + 16 * D,
            surfaced_s: 6 * H + 20 * D,
        }];
    }
    let no = refused("norway", &p);
    assert_eq!(smallest(&no), [Amount::Seconds(2 * D)]);
}

/// Cutting and welding at once takes one man who holds both; one of the two who hold one of them each is to
/// hold the other as well.
#[test]
fn what_nobody_holds_at_once() {
    let mut p = problem("uk", 6, 2, 1, 118.0, 10);
    p.divers[0].qualifications = vec!["2F wet".to_owned()];
    p.divers[2].qualifications = vec!["burning".to_owned()];
    p.tasks = vec![task("cut and weld", 10, Some("2F wet"), &[])];
    p.tasks[0].qualifications.push("burning".to_owned());
    under(&mut p, "uk");
    let no = refused("uk", &p);
    assert_eq!(no.rules[0].id, "house.rota.work");
    assert_eq!(smallest(&no), [Amount::Count(1)]);
    let initials = &p.divers[0].initials;
    let words = format!("{initials} holding burning as well");
    assert!(no.relaxations.iter().any(|r| r.words() == words));
}

/// Two at once from a two-man bell, of which one stays in it.
#[test]
fn more_at_once_than_the_bell_gives() {
    let mut p = problem("uk", 6, 2, 1, 118.0, 10);
    p.tasks = vec![task("lift", 10, None, &[])];
    p.tasks[0].divers = 2;
    under(&mut p, "uk");
    let no = refused("uk", &p);
    assert_eq!(no.rules[0].id, "house.rota.places");
    assert_eq!(no.relaxations[0].words(), "1 fewer in the water at once");
}

/// Work at 140 msw from storage at 118, without a table of excursions: within a metre of it is at it.
#[test]
fn work_that_no_storage_reaches() {
    let mut p = problem("uk", 6, 2, 1, 118.0, 10);
    p.tasks = vec![task("deep", 10, None, &[])];
    p.tasks[0].depth_msw = 140.0;
    under(&mut p, "uk");
    let no = refused("uk", &p);
    assert_eq!(no.rules[0].id, "house.rota.excursion");
    assert_eq!(smallest(&no), [Amount::Msw(21.0)]);
}

/// The work ends before it begins: by hand 107 min 48 s after the first second at least.
#[test]
fn a_last_day_before_the_first() {
    let mut p = problem("uk", 6, 2, 1, 118.0, 10);
    p.first_s = 3 * D;
    p.last_s = 3 * D - 10 * MIN;
    p.same_hours = false;
    let no = refused("uk", &p);
    assert_eq!(smallest(&no), [Amount::Seconds(118 * 60)]);
}
