//! Doors, hatches and mating faces.

use deepstay_core::units::*;

/// A door, hatch or mating face.
#[derive(Clone, Debug, PartialEq)]
pub struct Door {
    /// Name as on the panel.
    pub name: String,
    /// Inner side.
    pub a: CompartmentId,
    /// Other side; none means the outside (the deck, or the sea for a bell's bottom door).
    pub b: Option<CompartmentId>,
    /// Whether the joint between the two can be unclamped (bell to trunk).
    pub clamp: bool,
    /// Effective area of the equalising valve, m2.
    pub equalise_m2: f64,
    /// Exchange flow when open, each way, m3/s.
    pub exchange_m3_s: f64,
    /// Greatest pressure difference at which it can be opened, Pa.
    pub open_below_pa: f64,
    /// State at the start.
    pub open_at_start: bool,
}
