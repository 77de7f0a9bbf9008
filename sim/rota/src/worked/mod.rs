//! What is judged beside a rota: the bell runs, days and routine of a job as it is planned, and as it was lived. Both are
//! turned into what the judge of a rota takes, and judged by the same rules.

pub mod after;
mod lived;
mod planned;
#[cfg(test)]
mod tests;

use crate::answer::Verdict;
use crate::check::{Breathed, Moments, Routine, judge_work};
use crate::types::{Problem, Rota};
use deepstay_core::units::Duty;
use deepstay_rules::RuleSet;
use deepstay_scenario::Scenario;

/// Work that is judged: runs with the moments of each, divers with their days, and routine.
#[derive(Clone, Debug)]
pub struct Worked {
    /// Divers and bells.
    pub problem: Problem,
    /// The runs.
    pub rota: Rota,
    moments: Vec<Moments>,
    routine: Routine,
    breathed: Breathed,
}

impl Worked {
    /// Judges it by a rule set's rules of working time; `accepted` are the ids of rows from memory that may be used.
    pub fn judged(&self, rules: &RuleSet, accepted: &[String]) -> Verdict {
        let by = (rules, accepted);
        judge_work(
            &self.rota,
            &self.problem,
            &self.moments,
            (self.routine, &self.breathed),
            by,
        )
    }
}

/// What the labels say that divers are given.
fn by_the_labels(scenario: &Scenario) -> Breathed {
    let steel = &scenario.steel;
    let banks = steel.banks.iter().filter(|b| b.duty == Duty::DiverGas);
    Breathed {
        labels_o2: banks.map(|b| b.label_o2).collect(),
        surface_pa: steel.surface_pa,
        sea_t_k: scenario.site.sea_t_k,
        masks: Vec::new(),
    }
}
