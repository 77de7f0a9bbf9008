//! A rota laid by hand and its sums worked out by hand; and evenness where there is slack for it.

use super::problem::{D, H, MIN, problem};
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_rota::{BellRun, Position, Role, Rota, Span, Task, make, sums};
use deepstay_rules::builtin;

/// A turn of two from the first bell: sealed from and to, and when each of the two is in the water.
fn run(
    pair: [u8; 2],
    (first, last): (i64, i64),
    wet: [(i64, i64); 2],
    tasks: &[(usize, i64)],
) -> BellRun {
    let position = |k: usize| Position {
        diver: DiverId(pair[k]),
        role: Role::Diver,
        wet: vec![Span::new(wet[k].0, wet[k].1)],
    };
    BellRun {
        bell: CompartmentId(10),
        first,
        last,
        depth_msw: 118.0,
        positions: vec![position(0), position(1)],
        tasks: tasks.to_vec(),
    }
}

/// Six men in pairs, at depth from 12:00 by the ship's clock (second 6 h) for three days. By hand:
/// A B 14:00 to 21:00, two hours and three in the water; C D 22:00 to 05:00, of which five hours lie between midnight
/// and six; A C 08:00 to 13:00. The bell was out 7 + 7 + 5 hours of 72, somebody was in the water for 5 + 6 + 4.
#[test]
fn a_rota_laid_by_hand_adds_up_as_by_hand() {
    let mut p = problem("uk", 6, 2, 1, 118.0, 3);
    let task = |name: &str, wet_s, after: &[usize]| Task {
        name: name.to_owned(),
        depth_msw: 118.0,
        wet_s,
        divers: 1,
        qualifications: Vec::new(),
        gas: None,
        after: after.to_vec(),
    };
    p.tasks = vec![task("first", 8 * H, &[]), task("second", 6 * H, &[0])];
    p.bells[0].down = vec![Span::new(50 * H, 53 * H)];
    let at = |clock_h: i64| (clock_h - 6) * H;
    let rota = Rota {
        runs: vec![
            run(
                [0, 1],
                (at(14), at(21)),
                [(at(15), at(17)), (at(17), at(20))],
                &[(0, 5 * H)],
            ),
            run(
                [2, 3],
                (at(22), at(29)),
                [(at(22), at(25)), (at(25), at(28))],
                &[(0, 3 * H), (1, 3 * H)],
            ),
            run(
                [0, 2],
                (at(32), at(37)),
                [(at(32), at(34)), (at(34), at(36))],
                &[(1, 4 * H)],
            ),
        ],
    };
    let s = sums(&rota, &p);
    let of = |d: usize| &s.divers[d];
    assert_eq!(
        s.divers.iter().map(|d| d.runs).collect::<Vec<_>>(),
        [2, 1, 2, 1, 0, 0]
    );
    assert_eq!(
        s.divers.iter().map(|d| d.water_s / H).collect::<Vec<_>>(),
        [4, 3, 5, 3, 0, 0]
    );
    assert_eq!(
        s.divers.iter().map(|d| d.bell_s / H).collect::<Vec<_>>(),
        [12, 7, 12, 7, 0, 0]
    );
    assert_eq!(
        s.divers.iter().map(|d| d.nights).collect::<Vec<_>>(),
        [0, 0, 1, 1, 0, 0]
    );
    assert_eq!(
        (
            of(0).shortest_rest_s,
            of(2).shortest_rest_s,
            of(1).shortest_rest_s
        ),
        (Some(11 * H), Some(3 * H), None)
    );
    let bell = &s.bells[0];
    assert_eq!(
        (bell.runs, bell.away_s, bell.bottom_s, bell.open_s),
        (3, 19 * H, 15 * H, 69 * H)
    );
    // The first task's eight hours are given with the second turn, the second's six with the third.
    assert_eq!(
        (
            s.progress[0].given_s,
            s.progress[0].needed_s,
            s.progress[0].done_s
        ),
        (8 * H, 8 * H, Some(at(29)))
    );
    assert_eq!(
        (s.progress[1].given_s, s.progress[1].done_s),
        (7 * H, Some(at(37)))
    );
    // Over those who dive: 3 to 5 h in the water, 7 to 12 in the bell, none or one night.
    let even = s.fairness;
    assert_eq!(
        (even.water_s, even.bell_s, even.nights, even.bellman),
        (2 * H, 5 * H, 1, 0)
    );
    // With a fifth of the time lost to weather eight hours' work takes ten.
    p.weather_share = 0.2;
    let slower = sums(&rota, &p).progress;
    assert_eq!((slower[0].needed_s, slower[0].done_s), (10 * H, None));
}

/// Just half of a turn between midnight and six is no night; a minute more is.
#[test]
fn a_night_is_more_than_half_of_a_turn() {
    let p = problem("uk", 6, 2, 1, 118.0, 3);
    let at = |clock_min: i64| (clock_min - 6 * 60) * MIN;
    let nights = |from_min: i64| {
        let span = (at(from_min), at(from_min + 480));
        let wet = [
            (span.0 + H, span.0 + 2 * H),
            (span.0 + 2 * H, span.0 + 3 * H),
        ];
        let rota = Rota {
            runs: vec![run([0, 1], span, wet, &[])],
        };
        sums(&rota, &p).divers[0].nights
    };
    assert_eq!(
        (nights(20 * 60), nights(20 * 60 + 1)),
        (0, 1),
        "from 20:00 to 04:00, four hours of eight"
    );
    assert_eq!(
        (nights(26 * 60), nights(26 * 60 + 1)),
        (0, 0),
        "from 02:00 on"
    );
    assert_eq!(nights(26 * 60 - 1), 1);
}

/// Four pairs share a bell that three pairs could keep busy: everybody dives, nobody more than one turn's water more
/// than another, whether hours are kept or not.
#[test]
fn where_there_is_slack_the_turns_are_shared_evenly() {
    for same_hours in [true, false] {
        let mut p = problem("uk", 8, 2, 1, 118.0, 8);
        p.same_hours = same_hours;
        let made = make(&p, &builtin("uk").expect("built in"), &[], &mut |_| true).expect("legal");
        let divers = &made.solution.divers;
        let water: Vec<i64> = divers.iter().map(|d| d.water_s / 60).collect();
        let longest = made
            .solution
            .rota
            .runs
            .iter()
            .flat_map(|t| t.positions.iter().map(Position::wet_s))
            .max()
            .expect("turns")
            / 60;
        println!("hours kept {same_hours}: minutes in the water {water:?}, of a turn {longest}");
        let (least, most) = (
            water.iter().min().expect("divers"),
            water.iter().max().expect("divers"),
        );
        assert!(*least > 0 && most - least <= longest, "{water:?}");
        let runs: Vec<u32> = divers.iter().map(|d| d.runs).collect();
        assert!(
            runs.iter().max().expect("divers") - runs.iter().min().expect("divers") <= 1,
            "{runs:?}"
        );
        assert!(p.last_s - p.first_s == 8 * D && made.solution.bells.len() == 1);
    }
}
