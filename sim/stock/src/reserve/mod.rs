//! Minimum stock by rule: every demand of a rule set worked out for a scenario, with its formula, each input
//! and where that came from, what is held of it, and what must be posted.
//!
//! The rules' sums are ideal and use the school convention (10 msw = 1 bar, surface 1 bar); their cubic metres
//! are counted as free gas at [`COUNTED_AT`]. What is held is real gas above the heel of each bank, with the
//! hand figure beside it.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod apart;
mod asked;
mod basis;
mod beside;
mod held;
mod holding;
mod home;
mod inputs;
mod lines;
mod posted;
mod terms;
mod together;
mod totals;
mod wants;
mod whole;
mod worked;

pub use asked::{Asked, Finding};
pub use beside::{Pair, Subject, beside};
pub use held::Held;
pub(crate) use held::usable_mol;
pub use holding::{Event, Holding};
pub use inputs::{Given, ReserveInputs};
pub use posted::{AtGauge, BELOW, Posted, Wall};
pub use terms::{Origin, Term};
pub use together::together;
pub use totals::{ADDING, Part, Total};
pub use wants::{Treated, Want};
pub use worked::{Line, Outcome, Requirement};

use deepstay_core::units::FreeReference;
use deepstay_rules::RuleSet;
use deepstay_scenario::Scenario;

#[cfg(test)]
mod tests;

/// The reference at which the rules' free gas is counted: 15 degC, 1 bar, ideal.
pub const COUNTED_AT: FreeReference = FreeReference::Bar15;

/// Every demand of a rule set on a scenario's gas.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Name of the rule set.
    pub set: String,
    /// What the set is.
    pub title: String,
    /// Deepest storage of the plan, msw.
    pub storage_msw: f64,
    /// Deepest work of the plan, msw.
    pub working_msw: f64,
    /// The rows that are worked out: the set's in its order, those of the way home, and what is wanted beside the stock.
    pub lines: Vec<Line>,
    /// The questions.
    pub asked: Vec<Asked>,
    /// What is held of each kind that a row asks for.
    pub held: Vec<Held>,
    /// The minimum of each kind.
    pub totals: Vec<Total>,
    /// What is to be posted.
    pub posted: Vec<Posted>,
}

impl Sheet {
    /// What is held of a kind.
    pub fn held(&self, holding: Holding) -> Option<&Held> {
        self.held.iter().find(|held| held.holding == holding)
    }

    /// The minimum of a kind.
    pub fn total(&self, holding: Holding) -> Option<&Total> {
        self.totals.iter().find(|total| total.holding == holding)
    }

    /// Whether the set itself asks for no amount: what there is, is the way home.
    pub fn asks_for_no_amount(&self) -> bool {
        self.totals.iter().all(Total::is_way_home)
    }

    /// Minimums of gases that no gas of the stock counts towards.
    pub fn held_in_nothing(&self) -> impl Iterator<Item = &Total> {
        let asked = self
            .totals
            .iter()
            .filter(|t| t.holding.is_gas() && t.amount > 0.0);
        asked.filter(|t| self.held(t.holding).is_some_and(|h| h.gases.is_empty()))
    }

    /// Whether the stock at the start meets every minimum that was worked out, and the treatment gas every depth for as long
    /// as the planner wants.
    pub fn all_met(&self) -> bool {
        let treated = self.lines.iter().all(|line| line.untreated().is_empty());
        treated && self.totals.iter().all(|total| total.met)
    }
}

/// Works a rule set's demands out for a scenario, and the way home with them. Rows that need acceptance count only where the
/// scenario accepts them; a set without such rows asks for the way home alone.
pub fn sheet(scenario: &Scenario, set: &RuleSet, inputs: &ReserveInputs) -> Sheet {
    let basis = basis::Basis::of(scenario, set, inputs);
    // The set's rows, then the way home, then what is wanted beside the stock.
    let mut lines = lines::lines(&basis);
    lines.extend(home::lines(&basis));
    lines.extend(apart::lines(&basis));
    let held = held::all(&basis, &lines);
    let totals = totals::totals(&lines, &held);
    let posted = posted::posted(&basis, &totals, &held);
    let asked = asked::asked(&basis, &totals);
    Sheet {
        set: set.name.clone(),
        title: set.title.clone(),
        storage_msw: basis.storage_msw,
        working_msw: basis.working_msw,
        lines,
        asked,
        held,
        totals,
        posted,
    }
}
