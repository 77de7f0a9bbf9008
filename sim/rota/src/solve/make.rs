//! Makes a rota and has it judged; where there is none, says what would help.

use super::attempt::{Made, attempt};
use super::price;
use super::relax;
use super::search::Found;
use crate::answer::NoRota;
use crate::types::Problem;
use deepstay_rules::RuleSet;

/// Makes a rota and has it judged under the rule set whose answers the problem holds.
///
/// `go_on` is asked after every try; when it says no, the best rota so far is returned.
///
/// # Errors
/// Why there is none: the rules that collide, and the smallest relaxations that help.
pub fn make(
    problem: &Problem,
    rules: &RuleSet,
    accepted: &[String],
    go_on: &mut dyn FnMut(&Found) -> bool,
) -> Result<Made, NoRota> {
    make_until(problem, rules, accepted, None, go_on)
}

/// The same, and where a gap is given, 0 to 1, the search goes on until no more than that may be missing to
/// the best there can be, or until `go_on` says no.
///
/// # Errors
/// As [`make`].
pub fn make_until(
    problem: &Problem,
    rules: &RuleSet,
    accepted: &[String],
    gap: Option<f64>,
    go_on: &mut dyn FnMut(&Found) -> bool,
) -> Result<Made, NoRota> {
    let by = (rules, accepted);
    let made = attempt(problem, by, &|_| false, gap, go_on);
    let mut made = made.map_err(|no| relax::helped(no, problem, by, go_on))?;
    made.solution.prices = price::prices(&made, problem, by, go_on);
    Ok(made)
}
