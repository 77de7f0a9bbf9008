//! One turn that something touches: with another diver, in another bell, later, shorter, or not at all.
//! Whether a way is legal is the judge's to say. Where several divers could stand in, it is the one with whom
//! the rota is fairest.

use crate::check;
use crate::solve::seated_run;
use crate::sums::sums;
use crate::types::{BellRun, Problem, Rota};
use deepstay_core::units::DiverId;
use deepstay_rules::RuleSet;

/// Later starts are tried this far apart, s, and no more than so much later.
const STEP_S: i64 = 1200;
const LATEST_S: i64 = 16 * 3600;
/// Turns further off than this have no say in whether one is legal, s: no rule of working time looks further than
/// the dry day of every so many.
const NEAR_S: i64 = 5 * 86_400;
/// A turn may be cut to this share of its length, in steps of this share.
const SHORTEST: f64 = 0.6;
const SHORTER: f64 = 0.2;

/// Whether a turn cannot be as it is.
pub fn is_touched(turn: &BellRun, problem: &Problem) -> bool {
    let down = problem
        .bell(turn.bell)
        .is_none_or(|b| b.down.iter().any(|d| d.shared_s(turn.span()) > 0));
    down || turn
        .positions
        .iter()
        .any(|s| is_unfit(s.diver, turn, problem))
}

fn is_unfit(id: DiverId, turn: &BellRun, problem: &Problem) -> bool {
    let diver = problem.divers.get(id.index());
    diver.is_none_or(|d| d.unfit.iter().any(|u| u.shared_s(turn.span()) > 0))
}

/// The turn as it can be beside those that stay; none where it is cancelled.
pub fn repaired(
    old: &BellRun,
    stay: &[BellRun],
    problem: &Problem,
    now_s: i64,
    (rules, accepted): (&RuleSet, &[String]),
) -> Option<BellRun> {
    let legal = |turn: &BellRun| {
        if turn.first < now_s || !has_room(turn, stay, problem) {
            return false;
        }
        // What is far off, or of other divers in another bell, has no say in it.
        let near = |other: &&BellRun| {
            let apart_s = (other.first - turn.last).max(turn.first - other.last);
            let shared = turn
                .positions
                .iter()
                .any(|s| other.position_of(s.diver).is_some());
            apart_s < NEAR_S && (other.bell == turn.bell || shared)
        };
        let mut turns: Vec<BellRun> = stay.iter().filter(near).cloned().collect();
        turns.push(BellRun {
            tasks: Vec::new(),
            ..turn.clone()
        });
        for t in &mut turns {
            // Work is dealt out again afterwards.
            t.tasks.clear();
        }
        check(&Rota { runs: turns }, problem, rules, accepted).legal()
    };
    let members: Vec<DiverId> = old.positions.iter().map(|s| s.diver).collect();
    let fit: Vec<DiverId> = members
        .iter()
        .copied()
        .filter(|d| !is_unfit(*d, old, problem))
        .collect();
    if fit.len() < members.len() {
        let spare = (0u8..)
            .map(DiverId)
            .take(problem.divers.len())
            .filter(|d| !members.contains(d));
        let gap = members.iter().position(|m| !fit.contains(m)).unwrap_or(0);
        let with_one = |d: DiverId| {
            let mut crew = fit.clone();
            crew.push(d);
            crew
        };
        let mut crews: Vec<Vec<DiverId>> = spare
            .map(with_one)
            .filter(|c| c.len() == members.len())
            .collect();
        // In his place first, so that who leaves the bell when stays as it was.
        for crew in &mut crews {
            crew.sort_by_key(|d| members.iter().position(|m| m == d).unwrap_or(gap));
        }
        let made = |crew: &Vec<DiverId>| {
            seated_run(problem, old.bell, crew, old.depth_msw, old.first, old.last)
        };
        let ways = crews.iter().filter_map(made).filter(|t| legal(t));
        let fairest = ways.min_by_key(|t| spread(stay, Some(t), problem));
        let fewer = || Some(fit.clone()).filter(|f| f.len() >= 2);
        if let Some(turn) = fairest.or_else(|| fewer().as_ref().and_then(made).filter(|t| legal(t)))
        {
            return Some(turn);
        }
    }
    let crew = if fit.len() >= 2 { &fit } else { &members };
    let mut shares = vec![1.0];
    while shares[shares.len() - 1] > SHORTEST + 1e-9 {
        shares.push(shares[shares.len() - 1] - SHORTER);
    }
    for share in shares {
        let length_s = ((old.last - old.first) as f64 * share) as i64;
        for later_s in (0..=LATEST_S / STEP_S).map(|n| n * STEP_S) {
            for bell in &problem.bells {
                let first = old.first + later_s;
                let turn = seated_run(
                    problem,
                    bell.id,
                    crew,
                    old.depth_msw,
                    first,
                    first + length_s,
                );
                if let Some(turn) = turn.filter(|t| legal(t)) {
                    return Some(turn);
                }
            }
        }
    }
    None
}

/// How uneven a rota is: time in the water, nights, turns as bellman, time in the bell, the first that
/// differs deciding.
pub fn spread(turns: &[BellRun], one_more: Option<&BellRun>, problem: &Problem) -> [i64; 4] {
    let turns = turns.iter().chain(one_more).cloned().collect();
    let fair = sums(&Rota { runs: turns }, problem).fairness;
    [fair.water_s, fair.nights, fair.bellman, fair.bell_s]
}

/// What can be seen without the judge: the bell is free, and its divers are in no other turn.
fn has_room(turn: &BellRun, stay: &[BellRun], problem: &Problem) -> bool {
    let Some(bell) = problem.bell(turn.bell) else {
        return false;
    };
    let apart_s = bell.turnaround_s();
    stay.iter().all(|other| {
        let same_bell = other.bell == turn.bell;
        let shared = turn
            .positions
            .iter()
            .any(|s| other.position_of(s.diver).is_some());
        let gap_s = if same_bell { apart_s } else { 0 };
        let clear = turn.last + gap_s <= other.first || other.last + gap_s <= turn.first;
        clear || !(same_bell || shared)
    }) && bell.down.iter().all(|d| d.shared_s(turn.span()) == 0)
}
