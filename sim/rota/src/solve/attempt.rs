//! One attempt: a rota by the problem's own limits, bounded, and judged, some breaches forgiven.

use super::law::{self, Proven};
use super::lay::Table;
use super::search::{Found, Search};
use super::setup::Setup;
use super::{bound, refuse, seats, tight};
use crate::answer::{Breach, LimitingRule, NoRota, Solution, Verdict, Worth};
use crate::check;
use crate::sums::sums;
use crate::types::{Problem, Rota};
use deepstay_rules::RuleSet;

/// A rota that the judge has found legal, and his words.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    /// The rota with its proof and sums.
    pub solution: Solution,
    /// What the judge says.
    pub verdict: Verdict,
}

/// Makes a rota and has it judged, some breaches forgiven.
pub fn attempt(
    problem: &Problem,
    (rules, accepted): (&RuleSet, &[String]),
    forgiven: &dyn Fn(&Breach) -> bool,
    gap: Option<f64>,
    go_on: &mut dyn FnMut(&Found) -> bool,
) -> Result<Made, NoRota> {
    let judged = |rota: &Rota| {
        let mut verdict = check(rota, problem, rules, accepted);
        verdict.breaches.retain(|b| !forgiven(b));
        verdict
    };
    let mut solution = solve_until(problem, gap, go_on)?;
    let mut verdict = judged(&solution.rota);
    let dry_day = |v: &Verdict| v.breaches.iter().any(|b| b.rule.id.ends_with("#dry-day"));
    if dry_day(&verdict) {
        // The work keeps one man in the water too often: without the longer time it needs no dry day.
        let mut plain = problem.clone();
        for limits in &mut plain.limits {
            limits.long_water = None;
        }
        solution = solve_until(&plain, gap, go_on)?;
        verdict = judged(&solution.rota);
    }
    match verdict.breaches.first() {
        None => Ok(Made { solution, verdict }),
        Some(_) => Err(refuse::by_verdict(&verdict)),
    }
}

/// Makes a rota by the problem's own limits, without a judge.
///
/// # Errors
/// Why there is none.
pub fn solve(problem: &Problem, go_on: &mut dyn FnMut(&Found) -> bool) -> Result<Solution, NoRota> {
    solve_until(problem, None, go_on)
}

fn solve_until(
    problem: &Problem,
    gap: Option<f64>,
    go_on: &mut dyn FnMut(&Found) -> bool,
) -> Result<Solution, NoRota> {
    refuse::at_once(problem)?;
    let setup = Setup::new(problem);
    refuse::ready(&setup)?;
    let (wished_s, wished_earliest_s) = bounds(&setup);
    let mut search = Search::new(&setup, (wished_s, wished_earliest_s), go_on);
    let start = Table::new(&setup, problem.first_s);
    let mut table = search.run(&start);
    if let Some(gap) = gap {
        table = search.wander(&start, gap);
    }
    let stopped = search.stopped;
    let Some(table) = table else {
        return Err(refuse::nothing_fits(&setup));
    };
    let mut been = vec![0; problem.divers.len()];
    let rota = Rota {
        runs: seats::seated(&setup, &table.laid, &mut been),
    };
    let law = law::proven(problem);
    let worth = Worth {
        useful_s: table.useful_s(),
        bound_s: law.useful_s,
        wished_s: wished_s.min(law.useful_s),
        done_s: if problem.tasks.is_empty() {
            None
        } else {
            table.all_done_s()
        },
        earliest_s: law.earliest_s,
        wished_earliest_s: later(wished_earliest_s, law.earliest_s),
    };
    let binding = tight::binding(&setup, &rota, wished_s);
    Ok(solution(problem, rota, worth, binding, stopped))
}

/// Proves by counting what no rota exceeds that keeps the wishes as well, without making one.
///
/// # Errors
/// Why there is no rota at all.
pub fn proven_as_wished(problem: &Problem) -> Result<Proven, NoRota> {
    refuse::at_once(problem)?;
    let setup = Setup::new(problem);
    refuse::ready(&setup)?;
    let (useful_s, earliest_s) = bounds(&setup);
    let law = law::proven(problem);
    Ok(Proven {
        useful_s: useful_s.min(law.useful_s),
        earliest_s: later(earliest_s, law.earliest_s),
    })
}

/// The later of two seconds before which nothing is done; none where one of them says never.
fn later(a: Option<i64>, b: Option<i64>) -> Option<i64> {
    a.zip(b).map(|(a, b)| a.max(b))
}

/// Greatest useful time in the water with the wishes kept, s, and the earliest second by which all work can
/// then be done.
fn bounds(setup: &Setup) -> (i64, Option<i64>) {
    let problem = setup.problem;
    let (from_s, to_s) = (problem.first_s, problem.last_s);
    let most_s = bound::most_water_s(setup, from_s, to_s);
    if problem.tasks.is_empty() {
        return (most_s, None);
    }
    let wanted_s: i64 = setup.needed_s.iter().sum();
    (most_s.min(wanted_s), bound::earliest_s(setup, from_s, to_s))
}

fn solution(
    problem: &Problem,
    rota: Rota,
    worth: Worth,
    binding: Vec<LimitingRule>,
    stopped: bool,
) -> Solution {
    let sums = sums(&rota, problem);
    Solution {
        rota,
        worth,
        progress: sums.progress,
        divers: sums.divers,
        bells: sums.bells,
        fairness: sums.fairness,
        binding,
        prices: Vec::new(),
        stopped,
    }
}
