//! How a job under way stands: the day, what the banks' gauges show, and what was used so far.

use super::Number;
use deepstay_core::units::text::{Duration, Gauge, Share, Temperature};
use serde::Deserialize;

/// Relative error of a meter where the present says nothing (assumed, no source).
pub const METER_ERROR: f64 = 0.03;
/// Error of a bank's gauge where the present says nothing, Pa (assumed, no source).
pub const GAUGE_ERROR_PA: f64 = 1e5;

/// How a job stands.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PresentFile {
    /// Version of the grammar; 1.
    pub format: u32,
    /// Short name of the scenario that the job follows.
    pub scenario: String,
    /// Time since the start of the job.
    pub at: Duration,
    /// What the gauges show; a bank left out stands as it was loaded.
    pub banks: Vec<BankNow>,
    /// What was used so far, where it was metered.
    #[serde(default)]
    pub used: UsedFile,
    /// Divers' time in the water so far, all together.
    #[serde(default)]
    pub in_water: Option<Duration>,
    /// Relative error of what was metered.
    #[serde(default = "of_a_meter")]
    pub error: Share,
    /// Error of a bank's gauge.
    #[serde(default = "of_a_gauge")]
    pub gauge_error: Gauge,
    /// When the next supply boat comes, since the start of the job.
    #[serde(default)]
    pub boat: Option<Duration>,
}

/// A bank's gauge.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BankNow {
    /// Name as painted.
    pub name: String,
    /// What its gauge shows.
    pub gauge: Gauge,
    /// Temperature of its bottles; as at the start where not given.
    #[serde(default)]
    pub temperature: Option<Temperature>,
    /// What was taken on into it since the start, m3 of free gas.
    #[serde(default)]
    pub taken_on: Option<Number>,
}

/// What was used so far, m3 of free gas each.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct UsedFile {
    /// Breathed by divers in the water, whether it came back or not.
    pub breathed: Option<Number>,
    /// Brought back by reclaim.
    pub reclaimed: Option<Number>,
    /// Drawn to hold depth.
    pub make_up: Option<Number>,
    /// Oxygen drawn.
    pub oxygen: Option<Number>,
    /// Leaked from the steel, where it was found out.
    pub leaked: Option<Number>,
}

fn of_a_meter() -> Share {
    Share(METER_ERROR)
}

fn of_a_gauge() -> Gauge {
    Gauge(GAUGE_ERROR_PA)
}
