//! Amounts that are no minimum of the stock: what something beside it is to have, and treatment gas by depth.

/// An amount that something is to have.
#[derive(Clone, Debug, PartialEq)]
pub struct Want {
    /// Of what.
    pub what: &'static str,
    /// How much.
    pub amount: f64,
    /// In which unit; "m3" is free gas at [`COUNTED_AT`](super::COUNTED_AT).
    pub unit: &'static str,
}

/// Depths over which the same mixes serve as treatment gas.
#[derive(Clone, Debug, PartialEq)]
pub struct Treated {
    /// Shallow end, msw.
    pub from_msw: f64,
    /// Deep end, msw.
    pub to_msw: f64,
    /// Banks whose oxygen lies within the band at all of these depths.
    pub banks: Vec<String>,
    /// What they yield at the deep end, m3 of free gas.
    pub held_m3: f64,
    /// What everybody breathes in an hour at the deep end, m3 of free gas.
    pub an_hour_m3: f64,
}

impl Treated {
    /// How long everybody can breathe it, h.
    pub fn lasts_h(&self) -> f64 {
        self.held_m3 / self.an_hour_m3.max(1e-9)
    }
}
