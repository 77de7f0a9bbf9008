//! The job's own file: which parts it is made of, when it starts, and which figures it accepts.

use super::{
    ClockDate, CrewFile, FaultsFile, Offset, PlanFile, Ref, SiteFile, SpreadFile, StockFile,
    StudyFile, WorkFile,
};
use deepstay_core::units::text::Duration;
use deepstay_crew::Rates;
use deepstay_crew::harm::HarmFile;
use deepstay_crew::voices::VoicesFile;
use deepstay_rules::RuleSet;
use serde::Deserialize;

/// A saturation job.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct JobFile {
    /// Version of the grammar; 1.
    pub format: u32,
    /// Short name, as in a list.
    pub name: String,
    /// One line on what it is.
    pub title: String,
    /// Date and time of the ship's clock at which the job starts, such as "2031-05-04 06:00".
    pub start: ClockDate,
    /// How far the ship's clock is ahead of UTC (for display only).
    #[serde(default)]
    pub utc_offset: Offset,
    /// Seed of every draw.
    #[serde(default = "one")]
    pub seed: u64,
    /// Time between two rows of the log.
    #[serde(default = "half_an_hour")]
    pub log_every: Duration,
    /// Ids of recalled or assumed rows of the rule set that this job accepts.
    #[serde(default)]
    pub accept_recalled: Vec<String>,
    /// The steel.
    pub spread: Ref<SpreadFile>,
    /// The rule set.
    pub rules: Ref<RuleSet>,
    /// Depth, sea and weather.
    pub site: Ref<SiteFile>,
    /// The divers.
    pub crew: Ref<CrewFile>,
    /// The gas loaded.
    pub stock: Ref<StockFile>,
    /// What is done when.
    pub plan: Ref<PlanFile>,
    /// What the rota is made for.
    #[serde(default)]
    pub work: Option<Ref<WorkFile>>,
    /// What goes wrong.
    #[serde(default)]
    pub faults: Option<Ref<FaultsFile>>,
    /// What a study of the stock varies.
    #[serde(default)]
    pub study: Option<Ref<StudyFile>>,
    /// The figures by which people come to harm; the built-in ones where none are named. Display and training only.
    #[serde(default)]
    pub harm: Option<Ref<HarmFile>>,
    /// What is said over the speaker: what divers say unasked, and what comes back when a person on the watch calls
    /// somebody; the built-in file where none is named.
    #[serde(default)]
    pub voices: Option<Ref<VoicesFile>>,
    /// Metabolic rates by activity; the measured table where none is given.
    #[serde(default)]
    pub rates: Option<Rates>,
}

fn one() -> u64 {
    1
}

fn half_an_hour() -> Duration {
    Duration(1800)
}
