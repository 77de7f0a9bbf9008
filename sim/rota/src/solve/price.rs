//! What each wish costs: the rota is made again without it, all others kept, and judged like any other. A few
//! tries a wish; more would find more, so that a price is what was found, never what cannot be had.

use super::attempt::{Made, attempt, proven_as_wished};
use super::search::Found;
use crate::answer::{Price, Wish, Worth};
use crate::types::Problem;
use deepstay_rules::RuleSet;

/// No more tries than this for a wish.
const MOST_TRIES: u32 = 240;

/// The wishes that a problem has, in the order in which they are told.
fn wishes(problem: &Problem) -> Vec<Wish> {
    let several = problem.bells.len() > 1;
    let limits = problem.limits.iter();
    let shorter = |s: i64| limits.clone().any(|l| s < l.in_water.s);
    [
        (problem.same_hours && problem.team_hours, Wish::TeamHours),
        (problem.same_hours, Wish::SameHours),
        (problem.kept_bells && several, Wish::KeptBells),
        (problem.fixed_teams, Wish::Teams),
        (
            problem.house.planned_water_s.is_some_and(shorter),
            Wish::InWater,
        ),
    ]
    .into_iter()
    .filter_map(|(there, wish)| there.then_some(wish))
    .collect()
}

fn without(problem: &Problem, wish: Wish) -> Problem {
    let mut p = problem.clone();
    match wish {
        Wish::TeamHours => p.team_hours = false,
        Wish::SameHours => (p.same_hours, p.team_hours) = (false, false),
        Wish::KeptBells => p.kept_bells = false,
        Wish::Teams => p.fixed_teams = false,
        Wish::InWater => p.house.planned_water_s = None,
    }
    p
}

/// Whether the count shows that no rota is better.
fn nothing_to_gain(freed: &Problem, with: Worth) -> bool {
    let Ok(proven) = proven_as_wished(freed) else {
        return true;
    };
    match (with.done_s, proven.earliest_s) {
        (Some(done), Some(earliest)) => earliest >= done,
        _ => proven.useful_s <= with.useful_s,
    }
}

/// What each wish costs beside a rota that keeps them all.
pub fn prices(
    made: &Made,
    problem: &Problem,
    by: (&RuleSet, &[String]),
    go_on: &mut dyn FnMut(&Found) -> bool,
) -> Vec<Price> {
    let mut stopped = made.solution.stopped;
    let mut all = Vec::new();
    for wish in wishes(problem) {
        if stopped {
            break;
        }
        let mut few = |found: &Found| {
            stopped = stopped || !go_on(found);
            !stopped && found.tried < MOST_TRIES
        };
        let freed = without(problem, wish);
        let with = made.solution.worth;
        if nothing_to_gain(&freed, with) {
            all.push(Price {
                wish,
                useful_s: with.useful_s,
                done_s: with.done_s,
                costs_s: 0,
            });
            continue;
        }
        let Ok(other) = attempt(&freed, by, &|_| false, None, &mut few) else {
            continue;
        };
        let other = other.solution.worth;
        let better = match (with.done_s, other.done_s) {
            (Some(with), Some(other)) => other < with,
            (None, Some(_)) => true,
            (Some(_), None) => false,
            (None, None) => other.useful_s > with.useful_s,
        };
        let best = if better { other } else { with };
        all.push(Price {
            wish,
            useful_s: best.useful_s,
            done_s: best.done_s,
            costs_s: match (with.done_s, best.done_s) {
                (Some(with), Some(best)) => with - best,
                _ => best.useful_s - with.useful_s,
            },
        });
    }
    all
}
