//! Rows of the file of voices as they are written: what is borne in silence, and what comes back of a call.

use deepstay_core::record::{Called, Fitness, PhraseKind};
use deepstay_core::units::text::{Depth, Duration, Share, Temperature};
use deepstay_rules::Status;
use serde::Deserialize;

/// Temperatures that are borne, by depth.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ComfortFile {
    /// The bands, the shallowest first; straight between them, and held past the ends.
    pub bands: Vec<BandFile>,
    /// How they came to us.
    pub status: Status,
    /// Where they come from.
    pub source: String,
}

/// Temperatures that are borne at a depth.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BandFile {
    /// Living depth.
    pub depth: Depth,
    /// The lowest.
    pub low: Temperature,
    /// The highest.
    pub high: Temperature,
}

/// What comes back from whom, of which phrases, in which states.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AnswersFile {
    /// Who is called.
    pub from: Vec<Called>,
    /// What is said to him.
    pub phrases: Vec<PhraseKind>,
    /// How he stands, of divers; left out of the others.
    #[serde(default)]
    pub states: Vec<Fitness>,
    /// What comes of it; the chances make up a whole.
    pub comes: Vec<ComesFile>,
    /// How the figures came to us.
    pub status: Status,
    /// Where they come from.
    pub source: String,
}

/// What may come of a call.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub enum ComesFile {
    /// What is so, as far as he can tell; what he was told to do is done.
    Right {
        /// How likely.
        chance: Share,
        /// After how long, at least.
        least: Duration,
        /// At the most.
        most: Duration,
    },
    /// The same, later than any of those.
    Late {
        /// How likely.
        chance: Share,
        /// After how long, at least.
        least: Duration,
        /// At the most.
        most: Duration,
    },
    /// What is not so: a wrong figure, a wrong count, words that make no sense; what he says is done is not done.
    Wrong {
        /// How likely.
        chance: Share,
        /// After how long, at least.
        least: Duration,
        /// At the most.
        most: Duration,
    },
    /// Nothing.
    Nothing {
        /// How likely.
        chance: Share,
    },
}
