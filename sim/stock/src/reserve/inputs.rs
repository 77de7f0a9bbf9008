//! The planner's own figures that no scenario holds. Where he says nothing a house figure stands, marked so.

use super::Origin;

/// A figure of the planner's, or the house's in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Given {
    /// The figure.
    pub value: f64,
    /// Whether the planner gave it.
    pub by_planner: bool,
}

impl Given {
    /// A figure that the planner gave.
    pub fn by_planner(value: f64) -> Given {
        Given {
            value,
            by_planner: true,
        }
    }

    /// A figure of the house.
    pub const fn house(value: f64) -> Given {
        Given {
            value,
            by_planner: false,
        }
    }

    pub(super) fn origin(self) -> Origin {
        if self.by_planner {
            Origin::Planner
        } else {
            Origin::Assumed
        }
    }
}

/// The planner's own figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReserveInputs {
    /// Time to bring the divers back on open circuit, s.
    pub recover_s: Given,
    /// Time to bring the bell back from its greatest depth by the second means, hook-up counted, s.
    pub retrieval_s: Given,
    /// Whether there is a second, independent means of retrieval; where nobody says so none is taken, the longer time of
    /// a rule that asks.
    pub second_means: Option<bool>,
    /// Breathing of a diver on open circuit, L/min at depth. A set's own flow comes before the house's.
    pub diver_l_min: Given,
    /// Flow to a mask, L/min at depth. A set's own flow that the scenario accepts comes before the house's.
    pub mask_l_min: Given,
    /// Escape sets in the control rooms.
    pub escape_sets: Given,
    /// Water volume of a diver's bail-out, L.
    pub bail_out_l: Given,
    /// Its fill, bar.
    pub bail_out_bar: Given,
    /// Working pressure of its regulator, bar.
    pub bail_out_regulator_bar: Given,
    /// People under pressure; the scenario's crew where none are given.
    pub people: Option<f64>,
    /// How far above the depth a bank must stand to deliver, bar.
    pub over_bottom_bar: Given,
    /// Share of a vessel's gas that leaks in a day.
    pub leak_per_day: Given,
    /// Absorbent in the bell beside its scrubber's, kg.
    pub spare_absorbent_bell_kg: f64,
    /// Absorbent on board beside the scrubbers', kg.
    pub spare_absorbent_kg: f64,
    /// Length of a planned dive, s.
    pub dive_s: Given,
    /// How long everybody is to breathe treatment gas, s; no document gives it.
    pub treatment_s: Option<f64>,
    /// Oxygen partial pressure held while coming up, bar.
    pub ppo2_bar: Given,
    /// Share by volume at which that partial pressure is given up.
    pub share: Given,
}

impl Default for ReserveInputs {
    /// The house's figures: for demonstration, no source, but for the flows: 40 L/min is the bail-out of
    /// NORMAM-222 of January 2025, 30 L/min the demand at light work of GB 18985-2021, 4.2 (both seen).
    fn default() -> Self {
        ReserveInputs {
            recover_s: Given::house(1800.0),
            retrieval_s: Given::house(7200.0),
            second_means: None,
            diver_l_min: Given::house(deepstay_sums::BAIL_OUT_L_MIN),
            mask_l_min: Given::house(30.0),
            escape_sets: Given::house(2.0),
            bail_out_l: Given::house(24.0),
            bail_out_bar: Given::house(200.0),
            bail_out_regulator_bar: Given::house(10.0),
            people: None,
            over_bottom_bar: Given::house(15.0),
            leak_per_day: Given::house(0.01),
            spare_absorbent_bell_kg: 0.0,
            spare_absorbent_kg: 0.0,
            dive_s: Given::house(8.0 * 3600.0),
            treatment_s: None,
            ppo2_bar: Given::house(0.5),
            share: Given::house(0.21),
        }
    }
}
