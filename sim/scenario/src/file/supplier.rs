//! What a supplier offers: bottles, quads and tubes with what is in them, absorbent by the drum, how
//! often a supply boat comes, and the booster on board. Prices and masses carry where they are from.

use super::Number;
use deepstay_core::units::text::{Bottles, Duration, FreeFlow, Gauge, Mass, Share, Temperature};
use deepstay_plant::Duty;
use serde::Deserialize;

/// A supplier's list.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SupplierFile {
    /// Version of the grammar.
    #[serde(default)]
    pub format: Option<u32>,
    /// The list's name.
    pub name: String,
    /// What it is, in a line.
    #[serde(default)]
    pub title: String,
    /// Code of the currency of every price, such as "EUR".
    pub currency: String,
    /// What can be had.
    pub items: Vec<OfferFile>,
    /// Absorbent by the drum.
    #[serde(default)]
    pub absorbent: Option<DrumFile>,
    /// The supply boat; none comes where it is left out.
    #[serde(default)]
    pub boat: Option<BoatFile>,
    /// A booster on board that can draw banks further down.
    #[serde(default)]
    pub booster: Option<BoosterFile>,
}

/// In what a gas comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Form {
    /// A bottle by itself.
    Bottle,
    /// Bottles in a frame, drawn as one.
    Quad,
    /// Long tubes in a frame.
    Tubes,
}

/// Something that can be had, by the unit.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OfferFile {
    /// Its name on the list.
    pub name: String,
    /// In what it comes.
    pub form: Form,
    /// Bottles of one unit and their gauge pressure when filled, such as "64 x 50 L at 200 bar".
    pub bottles: Bottles,
    /// Temperature at which that pressure is meant.
    #[serde(default = "cool")]
    pub filled_at: Temperature,
    /// What is in it.
    pub mix: OfferedFile,
    /// Duties that it may serve.
    pub duties: Vec<Duty>,
    /// Time from order to quay.
    pub lead: Duration,
    /// Mass of a full unit, frame and all.
    pub mass_full: Mass,
    /// Mass of the same unit empty.
    pub mass_empty: Mass,
    /// Where the masses are from.
    #[serde(default = "assumed")]
    pub mass_source: String,
    /// Price of one unit filled.
    pub price: PriceFile,
    /// Most mass in one lift; units go up one by one where not given.
    #[serde(default)]
    pub per_lift: Option<Mass>,
}

/// What a unit holds.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum OfferedFile {
    /// Air.
    Air,
    /// Oxygen.
    Oxygen,
    /// Helium.
    Helium,
    /// Oxygen in helium, by its share, ready mixed.
    Heliox(Share),
    /// Oxygen in helium mixed to order within a range.
    OnOrder {
        /// Least oxygen.
        from: Share,
        /// Most oxygen.
        to: Share,
    },
}

/// A price with where it is from.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PriceFile {
    /// Price of one, in the list's currency.
    pub each: Number,
    /// Where it is from: an offer, an invoice, or "assumed".
    #[serde(default = "assumed")]
    pub source: String,
}

/// Absorbent by the drum.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DrumFile {
    /// Its name on the list.
    pub name: String,
    /// Absorbent in a drum.
    pub mass: Mass,
    /// Price of a drum.
    pub price: PriceFile,
    /// Time from order to quay.
    pub lead: Duration,
}

/// The supply boat.
#[derive(Clone, Copy, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BoatFile {
    /// First call, counted from the job's start.
    pub first: Duration,
    /// Time between two calls.
    pub every: Duration,
    /// Most that one call brings.
    #[serde(default)]
    pub takes: Option<TakesFile>,
}

/// Most that a boat brings in one call.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum TakesFile {
    /// So many units of any kind.
    Units(u32),
    /// So much mass, full.
    Mass(Mass),
}

/// A booster.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BoosterFile {
    /// Lowest pressure that it draws down to.
    pub lowest_suction: Gauge,
    /// Greatest ratio of delivery to suction, absolute.
    #[serde(default)]
    pub ratio: Option<Number>,
    /// Highest pressure that it delivers.
    #[serde(default)]
    pub delivery: Option<Gauge>,
    /// Flow of free gas at 15 degC and 1 bar.
    pub flow: FreeFlow,
    /// Where these are from.
    #[serde(default = "assumed")]
    pub source: String,
}

fn cool() -> Temperature {
    Temperature(288.15)
}

fn assumed() -> String {
    "assumed".to_owned()
}
