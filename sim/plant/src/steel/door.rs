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

impl Door {
    /// Whether it is one of a compartment's.
    pub fn touches(&self, c: CompartmentId) -> bool {
        self.a == c || self.b == Some(c)
    }

    /// Whether it leads from one compartment to another, either way.
    pub fn joins(&self, x: CompartmentId, y: CompartmentId) -> bool {
        (self.a, self.b) == (x, Some(y)) || (self.a, self.b) == (y, Some(x))
    }

    /// What it leads to from a compartment; none where that is outside, or where it is no door of its.
    pub fn leads_to(&self, from: CompartmentId) -> Option<CompartmentId> {
        match self.b {
            Some(b) if self.a == from => Some(b),
            Some(b) if b == from => Some(self.a),
            _ => None,
        }
    }
}
