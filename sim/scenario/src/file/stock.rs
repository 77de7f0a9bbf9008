//! The gas loaded: banks of bottles with what is in them and what their labels say.

use super::Ranged;
use deepstay_core::units::text::{Bottles, Gauge, Share, Temperature};
use deepstay_plant::Duty;
use serde::Deserialize;

/// The stock.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct StockFile {
    /// Version of the grammar, where this is a file of its own.
    #[serde(default)]
    pub format: Option<u32>,
    /// The banks.
    pub banks: Vec<BankFile>,
    /// The gas of the reclaim, if the spread is used with it.
    #[serde(default)]
    pub reclaim: Option<ReclaimFile>,
    /// Recovery of chamber gas on decompression, if the spread is used with it.
    #[serde(default)]
    pub recovery: Option<RecoveryFile>,
}

/// A bank.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BankFile {
    /// Name as painted.
    pub name: String,
    /// Duty on the label.
    pub duty: Duty,
    /// Bottles and their gauge pressure, such as "64 x 50 L at 200 bar".
    pub bottles: Bottles,
    /// What is truly in it.
    pub contents: MixFile,
    /// Oxygen on the label; what is truly in it where not given.
    #[serde(default)]
    pub label: Option<Share>,
    /// Oxygen of the last analysis; not analysed where not given.
    #[serde(default)]
    pub analysed: Option<Share>,
    /// Temperature of the bottles.
    #[serde(default = "cool")]
    pub temperature: Temperature,
}

/// A mixture by volume.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum MixFile {
    /// Air.
    Air,
    /// Pure oxygen.
    Oxygen,
    /// Pure helium.
    Helium,
    /// Oxygen in helium, by its share.
    Heliox(Share),
    /// Stated shares; the rest is helium.
    Mix {
        /// Oxygen.
        oxygen: Share,
        /// Nitrogen.
        #[serde(default = "nothing")]
        nitrogen: Share,
        /// Carbon dioxide.
        #[serde(default = "nothing")]
        carbon_dioxide: Share,
        /// A trace contaminant, counted as methane.
        #[serde(default = "nothing")]
        contaminant: Share,
    },
}

/// The gas of the spread's reclaim.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ReclaimFile {
    /// What its tank is charged with at the start.
    pub charge: MixFile,
    /// Bank for open circuit when the loop fails: divers' gas that the loop never draws from.
    pub open_circuit: String,
    /// Bank that the oxygen trickle is fed from, where the spread has one.
    #[serde(default)]
    pub trickle: Option<String>,
    /// Share of the exhaled gas that comes back, with its range: no independent measurement is public.
    pub recovery: Ranged<Share>,
}

/// Recovery of chamber gas.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RecoveryFile {
    /// Bank the gas goes to.
    pub bank: String,
    /// Share of what is let out that is recovered, with its range.
    pub recovered: Ranged<Share>,
    /// Lowest chamber pressure at which the pump draws.
    pub lowest: Gauge,
    /// Whether the gas of trunk, bell and locks is recovered too, and not that of decompressions alone.
    #[serde(default)]
    pub trunk_and_locks: bool,
}

fn cool() -> Temperature {
    Temperature(288.15)
}

fn nothing() -> Share {
    Share(0.0)
}
