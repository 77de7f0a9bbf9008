//! What no rota may have beside the rules of working time: bells that are not ready, divers in two places,
//! an empty bell.

use super::check::{judged, problem, turn};
use super::problem::{H, MIN};
use deepstay_core::units::DiverId;
use deepstay_rota::Role;

/// Beside the law: a bell that is not ready, a diver twice, nobody in the bell, a diver
/// who is not down.
#[test]
fn a_turn_that_cannot_be() {
    let mut p = problem(118.0);
    p.bells[0].lead_s = 30 * MIN;
    p.bells[0].tail_s = 10 * MIN;
    let two = |gap| {
        vec![
            turn(&p, H, 2 * H, &[(0, H)]),
            turn(&p, 3 * H + gap, 2 * H, &[(0, H)]),
        ]
    };
    let broken = |turns| {
        let verdict = judged("norway", &p, turns);
        verdict
            .breaches
            .iter()
            .map(|b| b.rule.id.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(broken(two(40 * MIN)), Vec::<String>::new());
    assert_eq!(broken(two(39 * MIN)), ["house.rota.turnaround"]);
    let mut twice = turn(&p, H, 2 * H, &[(0, H)]);
    twice.positions[1].diver = DiverId(0);
    assert!(broken(vec![twice]).contains(&"house.rota.once".to_owned()));
    let mut empty = turn(&p, H, 2 * H, &[(0, H)]);
    let wet = empty.positions[0].wet.clone();
    for seat in &mut empty.positions {
        seat.role = Role::Diver;
        seat.wet.clone_from(&wet);
    }
    assert_eq!(broken(vec![empty]), ["house.rota.tended"]);
    assert_eq!(
        broken(vec![turn(&p, 10 * MIN, 2 * H, &[(0, H)])]),
        ["house.rota.at-depth"; 3]
    );
}
