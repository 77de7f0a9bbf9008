//! The judge of a rota, whoever made it: every breach with its rule, source and margin. It asks the rule
//! set itself and shares nothing with the solver but the words.
//!
//! How the documents are read, where they leave room: a turn and its clock last from sealed in to sealed to
//! the trunk again, and a rest lies between two turns, so that the trunk's pressing, a quarter of an hour,
//! counts as rest; a day is the ship's; a window slides. A set that has no figure for a question is not judged by it, except
//! that the house's rest stands in for a rest.

mod days;
mod hours;
mod judge;
mod turns;
mod windows;

use self::judge::Judge;
use super::answer::Verdict;
use super::types::{Problem, Rota};
use deepstay_rules::RuleSet;

/// Judges a rota under a rule set. `accepted` are the ids of recalled rows that may be used.
pub fn check(rota: &Rota, problem: &Problem, rules: &RuleSet, accepted: &[String]) -> Verdict {
    let mut judge = Judge::new(problem, rules, accepted);
    turns::each(rota, &mut judge);
    turns::bells(rota, &mut judge);
    turns::order_of_work(rota, &mut judge);
    for diver in (0u8..)
        .take(problem.divers.len())
        .map(deepstay_core::units::DiverId)
    {
        hours::of(rota, diver, &mut judge);
        days::of(rota, diver, &mut judge);
    }
    judge.verdict()
}
