//! What a study of the stock varies, checked: sources of chance by their names, each with its law.

use super::law::Spreading;
use super::plan::FaultKind;

/// A study, as a scenario has it.
#[derive(Clone, Debug, PartialEq)]
pub struct Study {
    /// What is drawn anew for each job.
    pub sources: Vec<Source>,
    /// Share of all jobs whose demand the load is to cover, 0 to 1.
    pub covered: f64,
    /// Rule sets whose minimum stocks are reckoned, by name; none: the job's own.
    pub reserve: Vec<String>,
    /// What the supplier offers, by name or path.
    pub supplier: Option<String>,
    /// The planner's own figures for minimum stocks.
    pub planner: Planner,
    /// Oxygen for burning: free gas in an hour in the water, m3, and where the figure is from.
    pub burning: Option<(f64, String)>,
}

impl Default for Study {
    /// Nothing is drawn, and 95 of 100 jobs are covered (house rule).
    fn default() -> Self {
        Study {
            sources: Vec::new(),
            covered: 0.95,
            reserve: Vec::new(),
            supplier: None,
            planner: Planner::default(),
            burning: None,
        }
    }
}

/// The planner's own figures for minimum stocks; none where he gave none.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[expect(
    missing_docs,
    reason = "the grammar's field of the same name says what it is"
)]
pub struct Planner {
    pub recover_s: Option<f64>,
    pub retrieval_s: Option<f64>,
    pub second_means: Option<bool>,
    pub diver_l_min: Option<f64>,
    pub mask_l_min: Option<f64>,
    pub escape_sets: Option<f64>,
    pub bail_out_l: Option<f64>,
    pub bail_out_bar: Option<f64>,
    pub bail_out_regulator_bar: Option<f64>,
    pub people: Option<f64>,
    pub over_bottom_bar: Option<f64>,
    pub regulator_bar: Option<f64>,
    pub spare_absorbent_bell_kg: f64,
    pub spare_absorbent_kg: Option<f64>,
    pub dive_s: Option<f64>,
    pub treatment_s: Option<f64>,
}

/// One named source of chance.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Its name: it names the stream of random numbers too.
    pub name: String,
    /// What it varies.
    pub varied: Varied,
    /// Where its law is from.
    pub source: String,
}

/// What a source varies.
#[derive(Clone, Debug, PartialEq)]
pub enum Varied {
    /// An input of the files.
    Input {
        /// Ways to it.
        ways: Vec<String>,
        /// What is done with what is drawn.
        drawn: DrawnFor,
        /// The law, in the unit.
        law: Spreading,
        /// The unit as it is written; empty for a plain number.
        unit: String,
        /// Whether each input that the way leads to is drawn by itself.
        each: bool,
        /// Whether it is left away where the job has no such inputs.
        optional: bool,
    },
    /// Chance within the job.
    Chance(Chance),
    /// Something that breaks down.
    Breakdown {
        /// What goes wrong.
        what: FaultKind,
        /// Mean time from mended to the next breakdown, s.
        mean_between_s: f64,
        /// How long it stands, s.
        lasts: Spreading,
    },
}

/// What is done with what is drawn for an input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrawnFor {
    /// The input becomes it.
    Becomes,
    /// The input is multiplied by it.
    Times,
    /// It is added to the input.
    Plus,
}

/// Chance within a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Chance {
    /// Wave heights.
    Weather,
    /// Errors of instruments.
    Instruments,
}
