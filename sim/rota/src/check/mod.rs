//! The judge of a rota, whoever made it: every breach with its rule, source and margin. It asks the rule
//! set itself and shares nothing with the solver but the words.
//!
//! How the documents are read, where they leave room: a clock starts and stops at the moments of a run that the set's row
//! names (checks, sealed in, clamp loosened, clamped on, ready to transfer, home), and where it names none from sealed in
//! to clamped on again; a rest lies between two turns; a day is the ship's; a window slides. A set that has no figure for
//! a question is not judged by it, and that is answered, except that the house's rest stands in for a rest.
//!
//! What is planned and what was lived is judged by the rules of working time alone (`judge_work`); whether a rota can be
//! gone through (`check`) is asked of a rota.

mod breathed;
mod days;
mod hours;
mod judge;
mod moments;
mod routine;
#[cfg(test)]
mod tests;
mod turns;
mod windows;

pub use self::breathed::Breathed;
use self::judge::Judge;
pub use self::moments::{Moments, past_turn_s};
pub use self::routine::Routine;
use super::answer::Verdict;
use super::types::{Problem, Rota};
use deepstay_core::units::DiverId;
use deepstay_rules::RuleSet;

/// Judges a rota under a rule set. `accepted` are the ids of recalled rows that may be used.
pub fn check(rota: &Rota, problem: &Problem, rules: &RuleSet, accepted: &[String]) -> Verdict {
    let moments = rota
        .runs
        .iter()
        .map(|run| Moments::planned(run, problem))
        .collect();
    let mut judge = Judge::new(problem, moments, (rules, accepted));
    turns::each(rota, &mut judge);
    turns::bells(rota, &mut judge);
    turns::order_of_work(rota, &mut judge);
    divers(rota, problem, &mut judge);
    breathed::not_of_a_rota(&mut judge);
    routine::of(Routine::default(), &mut judge);
    judge.verdict()
}

/// Judges runs with moments of their own, days, what is breathed and routine by the set's rules alone.
pub fn judge_work(
    rota: &Rota,
    problem: &Problem,
    moments: &[Moments],
    (routine, breathed): (Routine, &Breathed),
    by: (&RuleSet, &[String]),
) -> Verdict {
    let mut judge = Judge::new(problem, moments.to_vec(), by);
    for (i, turn) in rota.runs.iter().enumerate() {
        turns::tended(i, turn, &mut judge);
    }
    divers(rota, problem, &mut judge);
    breathed::of(rota, breathed, &mut judge);
    routine::of(routine, &mut judge);
    judge.verdict().of_the_set()
}

fn divers(rota: &Rota, problem: &Problem, judge: &mut Judge) {
    for diver in (0u8..).take(problem.divers.len()).map(DiverId) {
        hours::of(rota, diver, judge);
        days::of(rota, diver, judge);
    }
}
