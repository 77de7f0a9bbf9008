//! By what a study is judged: the rule sets whose minimums stay untouched, and the list that gas is bought from.

use crate::{Ensemble, Gas};
use deepstay_core::gas::Amounts;
use deepstay_plant::Duty;
use deepstay_rules::{self as rules, RuleSet};
use deepstay_scenario::{Diagnostics, Scenario, Supplier, load_supplier_for};
use std::path::{Path, PathBuf};

/// Why a study cannot be answered.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StudyError {
    /// A rule set cannot be used.
    #[error(transparent)]
    Rules(Diagnostics),
    /// Minimums of more than two rule sets are asked for.
    #[error("the study names more than two rule sets for minimums; two stand side by side")]
    TooManySets,
    /// The supplier's list cannot be used.
    #[error(transparent)]
    Supplier(#[from] Diagnostics),
}

/// Which rule sets, and which list.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct Basis {
    reserve: Vec<String>,
    supplier: Option<String>,
    folder: Option<PathBuf>,
}

impl Basis {
    /// What the scenario's study names itself: its rule sets, else the job's own; its supplier, if any. Paths in it
    /// are relative to the scenario's file.
    pub fn of_scenario(name: &str) -> Basis {
        Basis {
            folder: Path::new(name).parent().map(Path::to_owned),
            ..Basis::default()
        }
    }

    /// Minimums by these rule sets, built in or files of one's own: one, or two side by side. None leaves the scenario's own.
    #[must_use]
    pub fn reserve(self, sets: &[String]) -> Basis {
        Basis {
            reserve: sets.to_vec(),
            ..self
        }
    }

    /// A supplier's list: a built-in one by its name, or a file. None leaves the scenario's own.
    #[must_use]
    pub fn supplier(self, list: Option<&str>) -> Basis {
        Basis {
            supplier: list.map(str::to_owned),
            ..self
        }
    }

    /// Whether there is all that an answer takes: to be asked before hours of jobs.
    ///
    /// # Errors
    /// A rule set or supplier's list that cannot be used.
    pub fn check(&self, ensemble: &Ensemble) -> Result<(), StudyError> {
        let base = &ensemble.base;
        self.rule_sets(base)?;
        let first = |gas: &Gas| {
            gas.banks
                .first()
                .map(|b| (gas.duty, base.steel.banks[b.index()].true_mix))
        };
        let asked: Vec<(Duty, Amounts)> = ensemble.gases.iter().filter_map(first).collect();
        self.list(base, &asked).map(|_| ())
    }

    /// The rule sets whose minimums are asked for: those named here, those of the study, or the job's own.
    ///
    /// # Errors
    /// A rule set that cannot be used, or more than two.
    pub fn rule_sets(&self, base: &Scenario) -> Result<Vec<RuleSet>, StudyError> {
        // What a job's study names lies beside the job, what is named here where the program was started.
        let beside = |name: &String| match (&self.folder, rules::is_path(name)) {
            (Some(folder), true) => folder.join(name).display().to_string(),
            _ => name.clone(),
        };
        let named: Vec<String> = match self.reserve.is_empty() {
            true => base.study.reserve.iter().map(beside).collect(),
            false => self.reserve.clone(),
        };
        if named.is_empty() {
            return Ok(vec![RuleSet::clone(&base.rules)]);
        }
        if named.len() > 2 {
            return Err(StudyError::TooManySets);
        }
        let sets = named.iter().map(|name| rules::named(name));
        sets.collect::<Result<_, _>>().map_err(StudyError::Rules)
    }

    /// The supplier's list named here or by the study, held against the gases asked for; none where neither names one.
    pub(super) fn list(
        &self,
        base: &Scenario,
        asked: &[(Duty, Amounts)],
    ) -> Result<Option<Supplier>, StudyError> {
        let (name, folder) = match (&self.supplier, &base.study.supplier) {
            (Some(name), _) => (name, None),
            (None, Some(name)) => (name, self.folder.as_deref()),
            (None, None) => return Ok(None),
        };
        Ok(Some(load_supplier_for(name, folder, asked)?))
    }
}
