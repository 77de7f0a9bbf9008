//! The file of voices as it is written.

use super::figures::FiguresFile;
use super::unasked::Unasked;
use deepstay_core::record::{Called, Fitness, PhraseKind};
use deepstay_core::units::text::{Depth, Duration, Share, Temperature};
use deepstay_rules::Status;
use serde::Deserialize;

/// What is said over the speaker.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct VoicesFile {
    /// Version of the grammar, where this is a file of its own.
    #[serde(default)]
    pub format: Option<u32>,
    /// Figures of what is felt, heard and read.
    pub figures: FiguresFile,
    /// Temperatures of a chamber that are borne in silence, by depth.
    pub comfort: ComfortFile,
    /// What divers say by themselves.
    pub unasked: Vec<UnaskedFile>,
    /// What comes back when somebody is called.
    pub answers: Vec<AnswersFile>,
}

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

/// What a diver says by himself, and when.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct UnaskedFile {
    /// What, and so what has to be the matter.
    pub says: Unasked,
    /// How likely he speaks of it, each time that it is the matter.
    pub chance: Share,
    /// How long until he does, at least.
    pub least: Duration,
    /// At the most.
    pub most: Duration,
    /// How the figures came to us.
    pub status: Status,
    /// Where they come from.
    pub source: String,
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
