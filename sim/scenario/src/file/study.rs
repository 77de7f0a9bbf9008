//! What a study of the stock varies, and what it is asked: inputs with a law of chance, weather and
//! instruments drawn anew, breakdowns, and how sure one wants to be.

use super::{FaultWhat, Number};
use deepstay_core::units::text::{Duration, Gauge, Mass, Share};
use serde::Deserialize;

/// A study.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct StudyFile {
    /// Version of the grammar, where this is a file of its own.
    #[serde(default)]
    pub format: Option<u32>,
    /// Inputs that are not known for sure.
    #[serde(default)]
    pub uncertain: Vec<UncertainFile>,
    /// Chance within a job that is drawn anew for each.
    #[serde(default)]
    pub chance: Vec<ChanceFile>,
    /// What breaks down by chance.
    #[serde(default)]
    pub breakdowns: Vec<BreakdownFile>,
    /// Share of all jobs whose demand is to be covered by the load.
    #[serde(default = "nineteen_in_twenty")]
    pub covered: Share,
    /// Rule sets whose minimum stocks are reckoned, by name; the job's own where none is named.
    #[serde(default)]
    pub reserve: Vec<String>,
    /// What the supplier offers: the name of a built-in list, or a path.
    #[serde(default)]
    pub supplier: Option<String>,
    /// The planner's own figures for minimum stocks.
    #[serde(default)]
    pub planner: PlannerFile,
    /// Oxygen that a torch burns in an hour in the water at a task whose gas is oxygen, as free gas.
    #[serde(default)]
    pub burning: Option<BurningFile>,
}

/// The planner's own figures for minimum stocks; what is left out is the house's, and marked so.
#[derive(Clone, Debug, Default, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct PlannerFile {
    /// Time to bring the divers back on open circuit.
    pub recover_divers: Option<Duration>,
    /// Time to bring the bell back by the second means, hook-up counted.
    pub retrieve_bell: Option<Duration>,
    /// Whether there is a second, independent means.
    pub second_means: Option<bool>,
    /// Breathing of a diver on open circuit, L/min at depth.
    pub diver_l_min: Option<Number>,
    /// Flow to a mask, L/min at depth.
    pub mask_l_min: Option<Number>,
    /// Escape sets in the control rooms.
    pub escape_sets: Option<Number>,
    /// Water volume of a diver's bail-out, L.
    pub bail_out_l: Option<Number>,
    /// Its fill.
    pub bail_out_fill: Option<Gauge>,
    /// Working pressure of its regulator.
    pub bail_out_regulator: Option<Gauge>,
    /// People under pressure; the crew where not given.
    pub people: Option<Number>,
    /// How far above the depth a bank must stand to deliver.
    pub over_bottom: Option<Gauge>,
    /// Working pressure of a bank's regulator, beside that.
    pub regulator: Option<Gauge>,
    /// Absorbent in the bell beside what is in its scrubber.
    pub spare_absorbent_bell: Option<Mass>,
    /// Absorbent on board beside what is in the scrubbers.
    pub spare_absorbent: Option<Mass>,
    /// Length of a planned dive.
    pub dive: Option<Duration>,
    /// How long everybody under pressure is to breathe treatment gas; where not given, the page says how long what is held
    /// lasts, and no minimum is made of it.
    pub treatment: Option<Duration>,
}

/// Oxygen for burning.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BurningFile {
    /// Free gas in an hour of a diver's time in the water, m3.
    pub m3_per_hour: Number,
    /// Where the figure is from, or "assumed".
    pub source: String,
}

/// An input that is not known for sure.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct UncertainFile {
    /// What it is, in plain words; it names the stream of its chance.
    pub name: String,
    /// Ways to the inputs, such as "stock.reclaim.recovery" or "spread.compartments[*].leak".
    pub inputs: Vec<String>,
    /// Its law.
    pub law: LawFile,
    /// What is done with what is drawn.
    #[serde(default)]
    pub drawn: DrawnFile,
    /// Nothing below is drawn.
    #[serde(default)]
    pub least: Option<String>,
    /// Nothing above is drawn.
    #[serde(default)]
    pub most: Option<String>,
    /// Whether each input is drawn by itself; else all by one.
    #[serde(default)]
    pub each: bool,
    /// Whether it is left away where the job has no such inputs; else that is a fault.
    #[serde(default)]
    pub optional: bool,
    /// Where the law is from, or "assumed".
    pub source: String,
}

/// What is done with what is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum DrawnFile {
    /// The input becomes it.
    #[default]
    Becomes,
    /// The input is multiplied by it.
    Times,
    /// It is added to the input.
    Plus,
}

/// A law of chance; all figures of one have the same unit: "0.85", "80 %", "2 h".
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum LawFile {
    /// Every value between two is as likely.
    Uniform {
        /// Lower end.
        low: String,
        /// Upper end.
        high: String,
    },
    /// Rises to the likeliest and falls.
    Triangular {
        /// Lower end.
        low: String,
        /// The peak.
        likely: String,
        /// Upper end.
        high: String,
    },
    /// Gauss's.
    Normal {
        /// Mean.
        mean: String,
        /// Standard deviation.
        sd: String,
    },
    /// Its logarithm is normal.
    LogNormal {
        /// Median.
        median: String,
        /// Factor of one standard deviation, over 1.
        factor: Number,
    },
    /// Gamma.
    Gamma {
        /// Mean.
        mean: String,
        /// Standard deviation.
        sd: String,
    },
    /// Beta, between two ends.
    Beta {
        /// Lower end.
        low: String,
        /// Upper end.
        high: String,
        /// Mean.
        mean: String,
        /// Standard deviation.
        sd: String,
    },
    /// Weibull's.
    Weibull {
        /// Scale.
        scale: String,
        /// Shape.
        shape: Number,
    },
    /// Waiting time without memory.
    Exponential {
        /// Mean.
        mean: String,
    },
    /// A count.
    Poisson {
        /// Mean.
        mean: String,
    },
    /// One of several values, each with its weight.
    Choice(Vec<(String, Number)>),
}

/// Chance within a job that is drawn anew.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ChanceFile {
    /// Of what.
    pub of: ChanceOf,
    /// Where its law is from.
    pub source: String,
}

/// Chance within a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum ChanceOf {
    /// Wave heights.
    Weather,
    /// Errors of instruments.
    Instruments,
}

/// What breaks down by chance: it runs for a time without memory, then stands until it is mended.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BreakdownFile {
    /// What it is, in plain words; it names the stream of its chance.
    pub name: String,
    /// What goes wrong.
    pub what: FaultWhat,
    /// Mean time that it runs from mended to the next breakdown.
    pub mean_between: Duration,
    /// How long it stands; figures are lengths of time.
    pub lasts: LawFile,
    /// Where the figures are from, or "assumed".
    pub source: String,
}

fn nineteen_in_twenty() -> Share {
    Share(0.95)
}
