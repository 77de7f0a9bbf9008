//! A row of the sheet: what the rule says, its inputs, and what comes of them.

use super::{COUNTED_AT, Event, Holding, Term, Treated, Want};
use deepstay_rules::Source;

/// An amount that a row asks to be held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Requirement {
    /// Of what.
    pub holding: Holding,
    /// How much: mol of gas, kg of absorbent.
    pub amount: f64,
    /// What it is kept against.
    pub event: Event,
}

impl Requirement {
    /// A gas by the rule's cubic metres, counted at [`COUNTED_AT`].
    pub(super) fn gas(holding: Holding, m3: f64, event: Event) -> Requirement {
        Requirement {
            holding,
            amount: m3 * COUNTED_AT.mol_per_m3(),
            event,
        }
    }

    /// The rule's cubic metres of free gas, none for absorbent.
    pub fn m3(&self) -> Option<f64> {
        self.holding
            .is_gas()
            .then(|| self.amount / COUNTED_AT.mol_per_m3())
    }
}

/// What comes of a row.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// Amounts to be held.
    Held(Vec<Requirement>),
    /// A flow to be proven at the panel, L/min of free gas to each diver.
    Flow {
        /// The flow.
        l_min: f64,
    },
    /// How long a bail-out lasts, and the umbilical that it limits.
    BailOut {
        /// How long, s.
        lasts_s: f64,
        /// Longest umbilical, m.
        umbilical_m: f64,
    },
    /// What a run of each lock loses.
    Lost {
        /// Lock by name, and m3 of free gas.
        locks: Vec<(String, f64)>,
    },
    /// The job's gas term by term: term, its formula, m3 of free gas.
    Bill {
        /// The terms.
        terms: Vec<(&'static str, &'static str, f64)>,
        /// The factor of the reserve.
        times: f64,
        /// The factor times the sum, m3.
        m3: f64,
    },
    /// What something beside the stock of the chambers is to have.
    Wanted(Vec<Want>),
    /// Treatment gas by depth.
    Treatment {
        /// Spans of depth, the shallowest first.
        spans: Vec<Treated>,
        /// How long the planner wants everybody to breathe it, h; none where he says nothing, and no document does.
        wanted_h: Option<f64>,
    },
    /// Figures that other rows take.
    Figures,
    /// Not worked out, and why.
    Not(String),
}

/// A row of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Id of the rule's row.
    pub id: String,
    /// What the rule says, with its figures.
    pub says: String,
    /// The sum in symbols.
    pub formula: &'static str,
    /// Its inputs.
    pub terms: Vec<Term>,
    /// What comes of it.
    pub outcome: Outcome,
    /// Document and status.
    pub source: Source,
    /// Whether the sum is a reconstruction, its equations not being seen.
    pub reconstruction: bool,
}

impl Line {
    /// The amounts it asks to be held.
    pub fn needs(&self) -> &[Requirement] {
        match &self.outcome {
            Outcome::Held(needs) => needs,
            _ => &[],
        }
    }

    /// Depths at which treatment gas is short: no mix serves there, or it lasts less than the planner wants. Nothing where he
    /// does not say how long.
    pub fn untreated(&self) -> Vec<&Treated> {
        match &self.outcome {
            Outcome::Treatment {
                spans,
                wanted_h: Some(wanted_h),
            } => spans.iter().filter(|s| s.lasts_h() < *wanted_h).collect(),
            _ => Vec::new(),
        }
    }
}
