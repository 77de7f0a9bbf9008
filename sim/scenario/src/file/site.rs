//! Depth, sea and weather of the site.

use deepstay_core::units::text::{Depth, Duration, Length, Temperature};
use serde::Deserialize;

/// The site.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SiteFile {
    /// Version of the grammar, where this is a file of its own.
    #[serde(default)]
    pub format: Option<u32>,
    /// Depth of the sea bed.
    pub seabed: Depth,
    /// Depth of the work.
    pub working_depth: Depth,
    /// Half the tidal range.
    pub tide_amplitude: Length,
    /// Temperature of the sea at the work.
    pub sea_temperature: Temperature,
    /// Significant wave height above which the bell is not launched.
    pub launch_limit: Length,
    /// Where the waves come from.
    pub weather: WeatherFile,
}

/// Where wave heights come from.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum WeatherFile {
    /// Never over the limit.
    Calm,
    /// A table (CSV) of seconds and significant wave heights in m: a path relative to the file.
    Series(String),
    /// Counts of wave-height classes by the two before: a built-in table or a path, and its season.
    Chain {
        /// Built-in table or path of a CSV file.
        table: String,
        /// Season as the table names it.
        season: String,
        /// Time between two classes.
        #[serde(default = "three_hours")]
        step: Duration,
    },
}

fn three_hours() -> Duration {
    Duration(10_800)
}
